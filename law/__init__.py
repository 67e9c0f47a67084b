"""Finders' duties by place: rule packs with citations, three-valued screening, clocks; never Django."""
