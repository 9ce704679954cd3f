"""The QR code as the page draws it, read back by an independent reader (zbar)."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest

from service.record.page import qr_svg

URL = "https://shop.example/r/jiKQeJCPwasC5OrlPGIh4OYS3zoGj-5G"


def modules(svg: str) -> list[list[bool]]:
    """The dark modules of the drawn path: runs `h`, gaps `m` along a row, each row half a module down."""
    size = int(re.search(r'd="M0 0h(\d+)v', svg)[1])
    path = re.search(r'stroke="#000"[^>]* d="([^"]+)"', svg)[1]
    dark = [[False] * size for _ in range(size)]
    x = y = 0.0
    for command, first, second in re.findall(r"([Mmh])(-?[\d.]+)(?:[ ,]?(-?[\d.]+))?", path):
        if command == "M":
            x, y = float(first), float(second)
        elif command == "m":
            x, y = x + float(first), y + float(second or 0)
        else:
            for column in range(int(x), int(x + float(first))):
                dark[int(y)][column] = True
            x += float(first)
    return dark


@pytest.mark.skipif(not shutil.which("zbarimg"), reason="zbarimg (zbar-tools) is not here")
def test_it_reads_back_as_the_address(tmp_path):
    dark = modules(qr_svg(URL))
    scale = 6
    rows = [b"".join((b"\x00" if one else b"\xff") * scale for one in row) * scale for row in dark]
    width = len(dark) * scale
    (tmp_path / "code.pgm").write_bytes(b"P5 %d %d 255\n" % (width, width) + b"".join(rows))
    command = ["zbarimg", "-q", "--raw", "--nodbus", str(tmp_path / "code.pgm")]
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip() == URL


def test_it_has_its_quiet_zone_and_a_name():
    dark = modules(qr_svg(URL))
    assert not any(any(row[:4]) or any(row[-4:]) for row in dark) and not any(any(row) for row in dark[:4])
    assert 'role="img"' in qr_svg(URL)
