"""Collect what is to be translated into the catalogues, area by area: `python -m tools.messages`.

Every area has a catalogue of its own under locale/, so that several people can translate at a time; what several areas
say stands once, in `web`. A text that was translated keeps its translation wherever it moves to; one that nobody says
any more is dropped. The compiled catalogues (.mo) are kept beside them, so that the program runs as it is checked out.
`--check` changes nothing and names what is out of step.
"""

import io
import sys
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tools.texts import AREAS, ROOT, collect

LANGUAGES = ("nl",)
HEAD = "# The words of this program in another language; docs/languages.md says how they are kept.\n#"


def path_of(area: str, language: str) -> Path:
    return ROOT / "locale" / area / language / "LC_MESSAGES" / "django.po"


def read(area: str, language: str) -> Catalog:
    """The catalogue as it is kept; an empty one where there is none yet."""
    path = path_of(area, language)
    if not path.exists():
        return _empty(language)
    with path.open("rb") as file:
        return read_po(file, locale=language)


class Words(Catalog):
    """A catalogue without the dates, names and versions that would make two runs differ."""

    @property  # type: ignore[misc]  # it is only read
    def mime_headers(self) -> list[tuple[str, str]]:
        return [
            ("Language", str(self.locale_identifier)),
            ("Plural-Forms", self.plural_forms),
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Transfer-Encoding", "8bit"),
        ]


def _empty(language: str) -> Catalog:
    return Words(locale=language, header_comment=HEAD, fuzzy=False)


def merged(language: str) -> dict[str, Catalog]:
    """The catalogue of each area as it should be: what is said now, with every translation there was."""
    known: dict[tuple[str, str], Message] = {}
    for area in AREAS:
        known |= {
            (message.context or "", _first(message)): message
            for message in read(area, language)
            if message.id
        }
    made = {area: _empty(language) for area in AREAS}
    for (context, text, plural), said in collect().items():
        old = known.get((context, text))
        made[said.area].add(
            (text, plural) if plural else text,
            _kept(old, bool(plural), made[said.area].num_plurals),
            locations=[(place, 0) for place in said.places],
            flags=set(old.flags) & {"fuzzy"} if old else (),
            user_comments=old.user_comments if old else (),
            context=context or None,
        )
    return made


def _first(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def _kept(old: Message | None, plural: bool, forms: int) -> str | tuple[str, ...]:
    if old is None:
        return ("",) * forms if plural else ""
    words = words_of(old)
    if plural:
        return words if len(words) == forms else (words[0], *("",) * (forms - 1))
    return words[0]


def words_of(message: Message) -> tuple[str, ...]:
    """Its translation: one text, or one for each of the language's numbers."""
    string = message.string
    return tuple(string) if isinstance(string, tuple | list) else (string or "",)


def written(catalog: Catalog) -> bytes:
    out = io.BytesIO()
    write_po(out, catalog, width=110, include_lineno=False)
    return out.getvalue()


def compiled(catalog: Catalog) -> bytes:
    out = io.BytesIO()
    write_mo(out, catalog)
    return out.getvalue()


def run(check: bool = False) -> list[str]:
    """Bring the catalogues up to date, or with `check` only name the files that are not."""
    changed = []
    for language in LANGUAGES:
        for area, catalog in merged(language).items():
            path = path_of(area, language)
            for target, content in ((path, written(catalog)), (path.with_suffix(".mo"), compiled(catalog))):
                if target.exists() and target.read_bytes() == content:
                    continue
                changed.append(target.relative_to(ROOT).as_posix())
                if not check:
                    target.parent.mkdir(parents=True, exist_ok=True)
                    target.write_bytes(content)
    return changed


def main() -> None:
    check = "--check" in sys.argv[1:]
    changed = run(check)
    print("\n".join(changed) or "Every catalogue is up to date.")
    for language in LANGUAGES:
        for area in AREAS:
            rows = [message for message in read(area, language) if message.id]
            without = sum(not all(words_of(message)) for message in rows)
            print(f"{language} {area}: {len(rows)} texts, {without} without a translation")
    if check and changed:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
