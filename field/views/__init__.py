"""Views of the field page, one noun a file."""
