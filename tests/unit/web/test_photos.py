"""Photographs are taken in clean and upright; anything else is refused in words that help."""

import hashlib
import tracemalloc
from datetime import datetime

import pytest
from PIL import Image, ImageCms
from PIL.ExifTags import GPS
from PIL.PngImagePlugin import PngInfo

from tests.unit.web.heic_sample import HEIC
from tests.unit.web.pictures import XMP, Upload, encoded, exif, jpeg_markers, opened, png_header, quartered
from web.photos import PhotoError, size_words, take_in

# SOF0/2, DHT, DQT, DRI and APP0 (JFIF): no APP1 (EXIF, XMP), APP2 (profile, several pictures), APP13, COM.
# Source: ITU-T T.81, table B.1; CIPA DC-008 4.5; JFIF 1.02.
CLEAN_MARKERS = {0xC0, 0xC2, 0xC4, 0xDB, 0xDD, 0xE0}
TELLING = (b"Exif", b"GPS", b"secret", b"xmp", b"rdf", b"ICC_PROFILE", b"2026:09:13")


def is_red(pixel: tuple[int, ...]) -> bool:
    return pixel[0] > 150 and pixel[1] < 90 and pixel[2] < 90


def assert_says_nothing(data: bytes) -> None:
    assert set(jpeg_markers(data)) <= CLEAN_MARKERS
    assert not any(word.lower() in data.lower() for word in TELLING)
    assert not opened(data).getexif()


def test_position_time_and_kind_come_back_apart() -> None:
    data = encoded(quartered(), exif=exif(), comment=b"secret comment", xmp=XMP)
    taken = take_in(Upload(data))
    assert (taken.lon, taken.lat, taken.accuracy_m) == (-0.25, pytest.approx(53 + 42.5 / 60), 4.5)
    assert taken.taken_at == datetime(2026, 9, 13, 10, 42, 7)
    assert (taken.kind, taken.width, taken.height) == ("JPEG", 120, 80)
    assert taken.sha256 == hashlib.sha256(data).hexdigest()


def test_jpeg_with_exif_xmp_comment_profile_and_thumbnail_comes_out_bare() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = encoded(quartered(), exif=exif(), comment=b"secret comment", xmp=XMP, icc_profile=profile)
    assert b"secret comment" in data
    assert b"secret-xmp" in data
    taken = take_in(Upload(data))
    assert_says_nothing(taken.display)
    assert_says_nothing(taken.thumb)


def test_png_with_text_exif_and_transparency_comes_out_bare_on_white() -> None:
    notes = PngInfo()
    notes.add_text("Comment", "secret text")
    notes.add_itxt("XML:com.adobe.xmp", XMP.decode())
    image = Image.new("RGBA", (50, 40), (10, 10, 10, 0))
    taken = take_in(Upload(encoded(image, "PNG", pnginfo=notes, exif=exif()), "find.png"))
    assert_says_nothing(taken.display)
    assert opened(taken.display).getpixel((5, 5)) == (255, 255, 255)
    assert (taken.kind, taken.lon) == ("PNG", -0.25)


def test_webp_comes_out_bare() -> None:
    taken = take_in(Upload(encoded(quartered(), "WEBP", exif=exif(6), xmp=XMP), "find.webp"))
    assert_says_nothing(taken.display)
    assert (taken.kind, taken.width, taken.height, taken.lon) == ("WEBP", 80, 120, -0.25)


def test_heic_is_read_whatever_its_name() -> None:
    taken = take_in(Upload(HEIC, "find.jpg"))
    assert_says_nothing(taken.display)
    assert (taken.kind, taken.width, taken.height) == ("HEIF", 48, 64)
    assert (taken.lon, taken.lat, taken.accuracy_m) == (0.25, pytest.approx(53 + 42.5 / 60), 4.5)
    assert taken.taken_at == datetime(2026, 9, 13, 10, 42, 7)
    assert is_red(opened(taken.display).getpixel((44, 3)))  # turned once to the right
    assert not is_red(opened(taken.display).getpixel((3, 3)))


def test_several_pictures_in_one_jpeg_give_the_first() -> None:
    data = encoded(quartered(), "MPO", save_all=True, append_images=[Image.new("RGB", (120, 80), "blue")])
    taken = take_in(Upload(data))
    assert taken.kind == "JPEG"
    assert is_red(opened(taken.display).getpixel((5, 5)))
    assert_says_nothing(taken.display)


# Where the red quarter (top left as stored) must show. Source: CIPA DC-008-2019 (Exif 2.32), 4.6.4 A, Orientation.
@pytest.mark.parametrize(
    ("orientation", "corner"),
    [(1, "tl"), (2, "tr"), (3, "br"), (4, "bl"), (5, "tl"), (6, "tr"), (7, "br"), (8, "bl"), (99, "tl")],
)
def test_every_orientation_comes_out_upright(orientation: int, corner: str) -> None:
    taken = take_in(Upload(encoded(quartered(), exif=exif(orientation))))
    image = opened(taken.display)
    wide, high = image.size
    assert image.size == ((80, 120) if orientation in (5, 6, 7, 8) else (120, 80))
    spots = {"tl": (8, 8), "tr": (wide - 9, 8), "bl": (8, high - 9), "br": (wide - 9, high - 9)}
    assert [name for name, spot in spots.items() if is_red(image.getpixel(spot))] == [corner]


def test_large_picture_is_kept_at_2560_and_480_pixels() -> None:
    taken = take_in(Upload(encoded(quartered(6000, 4000), quality=40)))
    assert (taken.width, taken.height) == opened(taken.display).size == (2560, 1707)
    assert opened(taken.thumb).size == (480, 320)


def test_small_picture_is_not_enlarged() -> None:
    taken = take_in(Upload(encoded(quartered(100, 3))))
    assert opened(taken.display).size == opened(taken.thumb).size == (100, 3)


@pytest.mark.parametrize("mode", ["L", "P", "CMYK", "1", "LA", "I;16"])
def test_every_pixel_mode_is_read(mode: str) -> None:
    if mode == "I;16":
        image = Image.new("I;16", (40, 30), 32896)  # middle grey in 16 bits
    else:
        image = Image.new("RGB", (40, 30), (128, 128, 128)).convert(mode)
    kind = "JPEG" if mode == "CMYK" else "PNG"
    shown = opened(take_in(Upload(encoded(image, kind))).display).convert("L")
    middle = sum(shown.getpixel((x, y)) for x in range(10, 30) for y in range(10, 20)) / 200
    assert middle == pytest.approx(128, abs=12)


def test_colours_are_converted_to_srgb() -> None:
    """A profile in which the first number of a pixel means green: sRGB with two colourants changed over."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    turned = srgb.replace(b"rXYZ", b"????").replace(b"gXYZ", b"rXYZ").replace(b"????", b"gXYZ")
    red = encoded(Image.new("RGB", (40, 40), (255, 0, 0)), quality=95, icc_profile=turned)
    pixel = opened(take_in(Upload(red)).display).getpixel((20, 20))
    assert pixel[1] > 200 > 60 > pixel[0]


def test_broken_profile_costs_nothing() -> None:
    taken = take_in(Upload(encoded(quartered(), icc_profile=b"not a profile" * 20)))
    assert is_red(opened(taken.display).getpixel((5, 5)))


BAD_GPS = {
    "empty fix": {1: "N", 2: (0.0, 0.0, 0.0), 3: "E", 4: (0.0, 0.0, 0.0)},
    "void": {1: "N", 2: (53.0, 1.0, 1.0), 3: "E", 4: (0.0, 1.0, 1.0), GPS.GPSStatus: "V"},
    "other datum": {1: "N", 2: (53.0, 1.0, 1.0), 3: "E", 4: (0.0, 1.0, 1.0), GPS.GPSMapDatum: "TOKYO"},
    "no sides": {2: (53.0, 1.0, 1.0), 4: (0.0, 1.0, 1.0)},
    "past the pole": {1: "N", 2: (91.0, 0.0, 0.0), 3: "E", 4: (0.0, 1.0, 1.0)},
    "two parts": {1: "N", 2: (53.0, 1.0), 3: "E", 4: (0.0, 1.0, 1.0)},
    "only latitude": {1: "N", 2: (53.0, 1.0, 1.0)},
    "nothing": {},
}


@pytest.mark.parametrize("gps", BAD_GPS.values(), ids=BAD_GPS)
def test_impossible_position_is_no_position(gps: dict[int, object]) -> None:
    taken = take_in(Upload(encoded(quartered(), exif=exif(gps=gps))))
    assert (taken.lon, taken.lat, taken.accuracy_m) == (None, None, None)


@pytest.mark.parametrize("when", ["", "0000:00:00 00:00:00", "yesterday", "2026:13:40 25:61:00"])
def test_impossible_time_is_no_time(when: str) -> None:
    assert take_in(Upload(encoded(quartered(), exif=exif(taken=when)))).taken_at is None


def test_broken_exif_costs_nothing() -> None:
    whole = encoded(quartered(), exif=exif())
    start = whole.index(b"Exif\0\0")
    broken = whole[: start + 6] + b"\xff" * 60 + whole[start + 66 :]
    taken = take_in(Upload(broken))
    assert (taken.lon, taken.taken_at) == (None, None)
    assert is_red(opened(taken.display).getpixel((5, 5)))


REFUSED = {
    "a GIF": (encoded(Image.new("P", (5, 5)), "GIF"), "GIF"),
    "a bitmap": (encoded(Image.new("RGB", (5, 5)), "BMP"), "bitmap"),
    "a TIFF": (encoded(Image.new("RGB", (5, 5)), "TIFF"), "TIFF"),
    "an SVG": (
        b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>',
        "SVG",
    ),
    "text": (b"Dear club, here is my find.\n", "text"),
    "a web page": (b"<html><script>alert(1)</script></html>", "text"),
    "a PDF": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "PDF"),
    "PostScript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 1 1\n", "PostScript"),
    "a zip": (b"PK\x03\x04" + b"\0" * 60, "zip"),
    "a film": (b"\0\0\0\x20ftypisom" + b"\0" * 60, "film"),
    "noise": (bytes(range(256)), "not a picture"),
    "nothing": (b"", "empty"),
}


@pytest.mark.parametrize(("data", "word"), REFUSED.values(), ids=REFUSED)
def test_refusal_names_the_file_what_it_is_and_what_to_do(data: bytes, word: str) -> None:
    with pytest.raises(PhotoError) as caught:
        take_in(Upload(data, "C:\\fakepath\\find 12.jpg"))
    assert caught.value.name == "find 12.jpg"
    assert word in caught.value.reason
    assert str(caught.value) == f"“find 12.jpg” was not added: {caught.value.reason}. {caught.value.remedy}."


WHOLE = {
    "JPEG": encoded(quartered(400, 300)),
    "PNG": encoded(quartered(400, 300), "PNG"),
    "WEBP": encoded(quartered(400, 300), "WEBP", lossless=True),
    "HEIC": HEIC,
}


@pytest.mark.parametrize("kind", WHOLE)
@pytest.mark.parametrize("share", [0.02, 0.3, 0.7])
def test_cut_off_file_is_refused_as_damaged(kind: str, share: float) -> None:
    data = WHOLE[kind][: max(16, int(len(WHOLE[kind]) * share))]
    with pytest.raises(PhotoError, match="damaged or was cut off") as caught:
        take_in(Upload(data))
    assert size_words(len(data)) in caught.value.reason


class Unread(Upload):
    def read(self, *_: object) -> bytes:
        raise AssertionError("read although its stated size refuses it")


def test_file_of_300_mb_is_refused_unread() -> None:
    with pytest.raises(PhotoError, match=r"“big\.heic” was not added: it is 300\.0 MB\. .*31\.5 MB"):
        take_in(Unread(b"", "big.heic", 300_000_000))


def test_file_that_lies_about_its_size_is_not_read_past_the_limit() -> None:
    upload = Upload(b"\xff\xd8" + b"\0" * 9_000_000, size=None)
    with pytest.raises(PhotoError, match="more than 100 kB"):
        take_in(upload, max_bytes=100_000)
    assert upload.tell() <= 2_000_000


BOMBS = {
    "8000 x 8000 PNG": encoded(Image.new("1", (8000, 8000)), "PNG"),
    "100000 x 100000 PNG": png_header(100_000, 100_000),
    "16000 x 16000 WEBP": b"RIFF\x20\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0"
    + (15_999).to_bytes(3, "little") * 2
    + b"\0" * 20,
    "60000 x 60000 JPEG": b"\xff\xd8\xff\xc0\0\x11\x08\xea\x60\xea\x60\x03\x01\x22\0\x02\x11\x01\x03\x11\x01\xff\xda"
    + b"\0" * 40,
}


@pytest.mark.parametrize("data", BOMBS.values(), ids=BOMBS)
def test_bomb_is_refused_without_setting_memory_aside(data: bytes) -> None:
    assert len(data) < 60_000
    tracemalloc.start()
    try:
        with pytest.raises(PhotoError, match="more than 50 million"):
            take_in(Upload(data))
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def test_pixel_limit_is_the_callers_to_set() -> None:
    data = encoded(quartered(200, 200))
    with pytest.raises(PhotoError, match="200 × 200"):
        take_in(Upload(data), max_pixels=30_000)
    assert take_in(Upload(data), max_pixels=40_000).width == 200


@pytest.mark.parametrize(
    ("name", "shown"),
    [(None, "unnamed file"), ("../../etc/x.jpg", "x.jpg"), ("a\0\nb.jpg", "ab.jpg"), ("n" * 200, "n" * 80)],
)
def test_name_in_a_message_is_plain(name: str | None, shown: str) -> None:
    with pytest.raises(PhotoError) as caught:
        take_in(Upload(b"x", name))
    assert caught.value.name == shown
