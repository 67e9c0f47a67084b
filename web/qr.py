"""QR codes as pictures that a strict content policy allows."""

from io import BytesIO

import segno


def qr_uri(text: str) -> str:
    """Return an SVG data URI of the QR code of `text` (ISO/IEC 18004), four modules of quiet zone."""
    return str(segno.make(text, error="m").svg_data_uri(scale=4, border=4, dark="#1d1a16"))


def qr_svg(text: str) -> str:
    """Return the same code as an SVG document with its size, for print."""
    out = BytesIO()
    segno.make(text, error="m").save(out, kind="svg", xmldecl=False, scale=3, border=4, dark="#1d1a16")
    return out.getvalue().decode()
