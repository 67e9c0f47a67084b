"""Pixels of a photograph: turned upright, in sRGB, made small, written as a JPEG that holds nothing else."""

import io

from PIL import Image, ImageCms

_MAX_PROFILE_BYTES = 1024 * 1024


def upright(image: Image.Image, turn: Image.Transpose | None, longest_px: int) -> Image.Image:
    """An RGB copy in sRGB of an opened image, turned by `turn`, at most `longest_px` on the longer side."""
    profile = image.info.get("icc_profile")
    image.draft(image.mode, (longest_px, longest_px))  # a JPEG of twice the size or more decodes at a half
    picture = smaller(_flat(image), longest_px)
    if turn is not None:
        picture = picture.transpose(turn)
    return _to_srgb(picture, profile)


def smaller(image: Image.Image, longest_px: int) -> Image.Image:
    """A copy at most `longest_px` on the longer side; smaller pictures keep their size."""
    scale = min(1.0, longest_px / max(image.size))
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)


def jpeg(image: Image.Image, quality: int) -> bytes:
    """The image as JPEG without any metadata: only what is given here is written."""
    bare = image.copy()
    bare.info.clear()  # a plain save would write a JPEG comment and a profile back
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def _flat(image: Image.Image) -> Image.Image:
    """RGB, L or CMYK pixels; transparent parts become white, 16-bit greys keep their tones."""
    if image.mode.startswith("I"):
        return image.convert("I").point(lambda value: value * (1 / 257)).convert("L")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        rgba = image.convert("RGBA")
        white = Image.new("RGB", rgba.size, "white")
        white.paste(rgba, mask=rgba.getchannel("A"))
        return white
    return image if image.mode in ("RGB", "L", "CMYK") else image.convert("RGB")


def _to_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    if profile and len(profile) <= _MAX_PROFILE_BYTES and image.mode in ("RGB", "CMYK"):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            target = ImageCms.createProfile("sRGB")
            converted = ImageCms.profileToProfile(image, source, target, outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            converted = None  # a broken or foreign profile: the numbers as they stand are the best guess
        if converted is not None:
            return converted
    return image.convert("RGB")
