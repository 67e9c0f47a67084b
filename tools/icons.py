"""Make the PNG icons of the field page from static/img/icon.svg: python tools/icons.py"""

import shutil
import tempfile
from pathlib import Path

import typst

IMAGES = Path(__file__).resolve().parents[1] / "static" / "img"
GROUND = "#8c3a14"
SIZES = {"icon-192.png": (192, 0), "icon-512.png": (512, 0), "icon-512-masked.png": (512, 0.1)}
"""Name, side in pixels, and the share left free on each side, which a mask may cut away.

Source: W3C Web Application Manifest, "maskable" icons: a circle of 40 % of the width as its radius is always shown.
"""


def main() -> None:
    for name, (side, free) in SIZES.items():
        fill = f'rgb("{GROUND}")' if free else "none"
        ground = f"#set page(width: {side}pt, height: {side}pt, margin: {side * free}pt, fill: {fill})\n"
        source = ground + '#image("icon.svg", width: 100%)'
        with tempfile.TemporaryDirectory() as folder:
            page = Path(folder) / "icon.typ"
            shutil.copy(IMAGES / "icon.svg", folder)
            page.write_text(source, encoding="utf-8")
            png = typst.compile(page, root=Path(folder), format="png", ppi=72)
        (IMAGES / name).write_bytes(png)


if __name__ == "__main__":
    main()
