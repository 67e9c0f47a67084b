"""Pages about finds, heritage cases and custody."""
