"""Pages of keeping."""
