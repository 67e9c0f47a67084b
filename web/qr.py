"""QR codes as pictures that a strict content policy allows."""

from io import BytesIO

import segno


def qr_uri(text: str) -> str:
    """Return an SVG data URI of the QR code of `text` (ISO/IEC 18004), four modules of quiet zone."""
    return str(segno.make(text, error="m").svg_data_uri(scale=4, border=4, dark="#1d1a16"))


def qr_svg(text: str) -> str:
    """Return the same code as an SVG document as wide as a line of text, for print: an eighth of it is the code.

    On A4 that is about 22 mm, which a telephone reads at arm's length, and not the whole page.
    """
    out, code = BytesIO(), segno.make(text, error="m")
    code.save(out, kind="svg", xmldecl=False, svgns=False, scale=3, border=4, dark="#1d1a16")
    side, _ = code.symbol_size(scale=3, border=4)
    size = f'width="{side * 8}" height="{side}" viewBox="0 0 {side * 8} {side}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{out.getvalue().decode()}</svg>'
