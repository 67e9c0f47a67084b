"""Commands of the keeping app."""
