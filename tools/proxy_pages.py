"""Write the proxy's own pages into deploy/proxy-pages: `python -m tools.proxy_pages`, after a change of their words."""

import os
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent / "deploy" / "proxy-pages"


def written() -> dict[str, str]:
    """The pages as they are kept, by path."""
    return {str(path.relative_to(FOLDER)): path.read_text() for path in FOLDER.glob("*/*.html")}


def write() -> None:
    from web.proxy_pages import pages

    for path, html in pages().items():
        (FOLDER / path).parent.mkdir(parents=True, exist_ok=True)
        (FOLDER / path).write_text(html)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.environ.setdefault("DJANGO_SECRET_KEY", "only-to-render-pages-nothing-is-signed-with-it")
    import django

    django.setup()
    write()
