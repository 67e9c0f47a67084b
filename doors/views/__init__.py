"""Views of the doors."""
