"""Pages about people, the club and signing in."""
