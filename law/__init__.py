"""Finder's duties by place: rule packs with citations, three-valued screening and statutory clocks; never Django."""
