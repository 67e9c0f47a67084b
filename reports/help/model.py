"""What a help text is made of. Pages, the handbook and their tests read nothing else."""

from dataclasses import dataclass

from django.utils.functional import Promise

Text = str | Promise


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with a few lines. `ordered`: they are done one after the other. `caution`: somebody may be hurt.

    `source` names what the lines rest on; a line that rests on nothing but habit is called common practice there.
    """

    title: Text
    lines: tuple[Text, ...]
    ordered: bool = False
    caution: bool = False
    source: Text = ""


@dataclass(frozen=True, slots=True)
class Way:
    """A page of the site that the text speaks of: its name and what to call it."""

    url_name: str
    label: Text


@dataclass(frozen=True, slots=True)
class Topic:
    """The help of one section: `key` is its address, `lead` says in a sentence what the section is for."""

    key: str
    title: Text
    lead: Text
    parts: tuple[Part, ...]
    ways: tuple[Way, ...] = ()
