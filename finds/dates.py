"""Years as people write them."""

from tongue import say as _


def year_words(year: int) -> str:
    """A historian's year: '1150 BC', 'AD 43', '1600' (the era is said only before AD 1000)."""
    if year < 0:
        return _("%(value)s BC") % {"value": -year}
    return _("AD %(year)s") % {"year": year} if year < 1000 else str(year)


def range_words(first: int | None, last: int | None) -> str:
    """'1150 to 800 BC', '50 BC to AD 43', '1580 to 1640'; an end that is not known is left open in words."""
    if first is None and last is None:
        return ""
    if first is None or last is None:
        return (
            _("from %(year_words)s") % {"year_words": year_words(first)}
            if first is not None
            else _("until %(year_words)s") % {"year_words": year_words(last or 0)}
        )
    if first == last:
        return year_words(first)
    if first < 0 and last < 0:
        return _("%(value)s to %(value2)s BC") % {"value": -first, "value2": -last}
    return _("%(year_words)s to %(value)s") % {"year_words": year_words(first), "value": year_words(last)}
