"""How the sentences of a screening are made that hold a figure, a day or another text: one pattern for each.

law/clock.py, law/leaves.py, law/leaves_together.py, law/told.py, law/screen.py, law/stages.py and law/compare.py make
them. The first that fits counts, so the fuller one stands before the shorter. A test screens widely and finds any
sentence that no pattern knows.
"""

from tongue import noop as _

LINES = (
    _("Not known yet: %(question)s"),
    _("The ship was lost at least %(years)s years before."),
    _("The ship was not lost at least %(years)s years before."),
    _("The ship may have been lost at least %(years)s years before."),
    _("The ship was lost more than %(years)s years before."),
    _("The ship was not lost more than %(years)s years before."),
    _("The ship may have been lost more than %(years)s years before."),
    _("It was at least %(years)s years old when found."),
    _("It was not at least %(years)s years old when found."),
    _("It may have been at least %(years)s years old when found."),
    _("It was more than %(years)s years old when found."),
    _("It was not more than %(years)s years old when found."),
    _("It may have been more than %(years)s years old when found."),
    _("The ship was lost in %(year)s or before."),
    _("The ship was lost in %(year)s or later."),
    _("The ship was lost after %(year)s."),
    _("The ship may have been lost in %(year)s or before."),
    _("It was made in %(year)s or before."),
    _("It was made in %(year)s or later."),
    _("It was made after %(year)s."),
    _("It may have been made in %(year)s or before."),
    _("At least %(percent)s%% of its metal by weight is gold or silver."),
    _("Less than %(percent)s%% of its metal by weight is gold or silver."),
    _(
        "At least %(percent)s%% of its metal by weight may be gold or silver; only a bulk assay can settle it."
    ),
    _("Gold or silver is %(percent)s %% of its metal by weight (bulk assay) or more."),
    _("Gold or silver is less than %(percent)s %% of its metal by weight (bulk assay)."),
    _("It was deeper than %(cm)s cm."),
    _("It was not deeper than %(cm)s cm."),
    _("It may have been deeper than %(cm)s cm."),
    _("It lay deeper than %(cm)s cm."),
    _("It lay %(cm)s cm deep or less."),
    _("There are %(count)s."),
    _("It is one of at least %(least)s %(things)s in the same find."),
    _("It is not one of at least %(least)s %(things)s in the same find."),
    _("It may be one of at least %(least)s %(things)s in the same find."),
    _("The land is not %(names)s."),
    _("The land may be %(names)s."),
    _("The land is %(names)s."),
    _("The rule applies to finds made from %(first)s until %(last)s; this one was made on another day."),
    _("The rule applies to finds made from %(first)s; this one was made on another day."),
    _("The rule applies to finds made until %(last)s; this one was made on another day."),
    _("The day of the find, %(day)s, is still to come; check it."),
    _("%(words)s Say on which day it was found, so that it can be counted."),
    _("Found %(found)s → guidance says %(months)s month → %(last)s."),
    _("Found %(found)s → guidance says %(months)s months → %(last)s."),
    _("Found %(found)s → %(days)s days after that day → %(last)s, 23:59 (%(zone)s)."),
    _(
        "Found %(found)s, reason to believe from %(believed)s → %(days)s days beginning with %(first)s, which is day 1 "
        "→ day %(days)s is %(last)s, until 23:59 (%(zone)s)."
    ),
    _(
        "Found %(found)s → %(days)s days beginning with %(first)s, which is day 1 → day %(days)s is %(last)s, "
        "until 23:59 (%(zone)s)."
    ),
    _(
        "Found %(found)s (only the day is known, so it starts with that day) → %(hours)s elapsed hours → %(last)s. "
        "The clocks change in between; elapsed hours are counted all the same."
    ),
    _(
        "Found %(found)s → %(hours)s elapsed hours → %(last)s. The clocks change in between; elapsed hours are counted "
        "all the same."
    ),
    _(
        "Found %(found)s (only the day is known, so it starts with that day) → %(hours)s elapsed hours → %(last)s."
    ),
    _("Found %(found)s → %(hours)s elapsed hours → %(last)s."),
    _("%(start)s → %(months)s months after that day → %(last)s."),
    _("%(start)s → %(days)s days after that day → %(last)s."),
    _("as soon as possible, guidance %(day)s"),
    # A rule's conditions and clock, as the page of a pack has them
    _("Not: %(words)s"),
    _("The day lies from %(first)s until %(last)s, both ends counted."),
    _("The day lies from %(first)s, both ends counted."),
    _("The day lies until %(last)s, both ends counted."),
    _("The plan goes deeper than %(cm)s cm."),
    _("The place is at most %(metres)s m from the protected thing."),
    _("%(words)s (from guidance, not from the law itself)"),
    _("%(words)s; guidance says %(months)s month"),
    _("%(words)s; guidance says %(months)s months"),
    _("%(days)s days, beginning with the day after the find, or with the day of belief if later"),
    _("%(days)s days after the day of the find"),
    _("%(hours)s elapsed hours from the time of the find"),
)

PLAIN = (
    _("Another rule covers it."), _("No other rule is met for certain."),
    _("It was found with, or after, an object that meets a test."),
    _("It was not found with, or after, an object that meets a test."),
    _("It may have been found with, or after, an object that meets a test."),
    _("The rule was in force on the day of the find."), _("The rule was not in force on the day of the find."),
    _("It is not known whether the rule was in force on the day of the find."), _("There is 1."),
    _("read in the text of the law"), _("read in guidance, not in the law itself"),
    _("unchecked: from memory, ask the authority"), _("read in the law's own text"), _("read in official guidance"),
    _("from memory, not checked"), _("no official limit read"), _("as the screening counts it"),
    _("no duty found"), _("possible duty"), _("duty"), _("ruled out"), _("not judged"), _("no longer in the rules"),
    _("not asked"), _("asked"), _("no longer asked"), _("as soon as possible"), _("no day"),
    _("All of these:"), _("At least one of these:"), _("Not all of these together:"), _("None of these:"),
    _("This is so, or is not known:"), _("This is certainly not so:"),
    _("One of these rules is met for certain:"), _("None of these rules is met for certain:"),
    _("Left together with an object, found before it or at the same time, that meets one of these rules:"),
    _("outcome"), _("last day"), _("question"),
    _("as soon as possible; the law gives no number"), _("no clock"),
)  # fmt: skip
"""Sentences of the same modules without anything in them; they are said as they stand."""

LANDS = (
    _("national park"), _("national forest"), _("refuge"), _("federal other"), _("tribal"), _("state"), _("local"),
    _("private"),
)  # fmt: skip
"""Who may hold the land, as a screening names them: one, or several with “or” between."""
OR = _("%(first)s or %(more)s")
