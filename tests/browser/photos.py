"""Pictures as a phone's camera makes them, and what is left of them; read and written by Pillow."""

from __future__ import annotations

import io

from PIL import ExifTags, Image, ImageCms

PLACE = {
    ExifTags.GPS.GPSLatitudeRef: "N",
    ExifTags.GPS.GPSLatitude: (47.0, 30.0, 12.5),
    ExifTags.GPS.GPSLongitudeRef: "E",
    ExifTags.GPS.GPSLongitude: (8.0, 15.0, 2.25),
}
MAKER = "Invented camera 7"
TURNED_RIGHT = 6  # EXIF 2.32, tag Orientation: the sensor's top is the picture's right
RED, BLUE = (200, 30, 30), (30, 30, 200)


def taken(width: int = 3000, height: int = 2000, orientation: int = 1, seed: int = 0) -> bytes:
    """A JPEG with its left half red and its right half blue, and with all a camera tells of place and device."""
    picture = Image.new("RGB", (width, height), BLUE)
    picture.paste(RED, (0, 0, width // 2, height))
    picture.paste((seed * 20 % 256, 90, 90), (0, 0, width // 10, height // 10))
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = MAKER
    exif[ExifTags.Base.Orientation] = orientation
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(PLACE)
    made = io.BytesIO()
    picture.save(made, "JPEG", exif=exif, comment=b"at the rider's door", quality=90)
    return made.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def tells(data: bytes) -> list[str]:
    """What a picture tells beside its pixels."""
    picture = opened(data)
    exif = picture.getexif()
    told = [ExifTags.TAGS.get(tag, str(tag)) for tag in exif] + [str(tag) for tag in exif.get_ifd(ExifTags.IFD.GPSInfo)]
    return told + [name for name in picture.info if not name.startswith("jfif") and not _is_srgb(name, picture)]


def _is_srgb(name: str, picture: Image.Image) -> bool:
    """The colour space of every screen (IEC 61966-2-1), which a browser may write down; it tells of no device."""
    if name != "icc_profile":
        return False
    profile = ImageCms.ImageCmsProfile(io.BytesIO(picture.info[name]))
    return ImageCms.getProfileDescription(profile).strip().startswith("sRGB")


def is_like(colour: tuple[int, ...], wanted: tuple[int, int, int]) -> bool:
    return all(abs(a - b) < 30 for a, b in zip(colour, wanted, strict=True))
