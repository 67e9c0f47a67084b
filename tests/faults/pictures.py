"""Photographs of the fault runs, each like no other."""

import hashlib
from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from tests.faults.stage import Stage


def picture(stage: Stage) -> bytes:
    """A small JPEG like no other."""
    out = BytesIO()
    colour = tuple(stage.rng.randrange(256) for _ in range(3))
    Image.effect_noise((stage.rng.randrange(40, 90), 60), 40).convert("RGB").point(
        lambda value: (value + colour[0]) % 256
    ).save(out, "JPEG", comment=stage.rng.randbytes(12))
    return out.getvalue()


def upload(data: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("p.jpg", data, "image/jpeg")


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
