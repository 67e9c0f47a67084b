"""Keeping what a club has: backups that are proved, moves between installations, and what is tidied away."""
