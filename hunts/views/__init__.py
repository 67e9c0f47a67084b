"""Views of the hunts section, one noun a file."""
