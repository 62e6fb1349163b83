"""Makes the small FITS files beside this script, and expected.json with what numpy says of them.

Run with Debian's python3-astropy (5.2.1) and python3-numpy (1.24.2): python3 make-frames.py
The files are committed, so that the tests need no Python. Seeded: the same files come out every time.
"""

import gzip
import json
import os

import numpy
from astropy.io import fits

here = os.path.dirname(os.path.abspath(__file__))
random = numpy.random.default_rng(20260101)
WIDTH, HEIGHT = 48, 40
expected = {}


def statistics(values):
    valid = values[numpy.isfinite(values)].astype(float)
    median = numpy.median(valid)
    return {
        "medianAdu": float(median),
        "madAdu": float(numpy.median(numpy.abs(valid - median))),
        "meanAdu": float(valid.mean()),
        "minimumAdu": float(valid.min()),
        "maximumAdu": float(valid.max()),
        "missingShare": float(1 - valid.size / values.size),
    }


def write(name, hdus, channels, cards=()):
    hdus = hdus if isinstance(hdus, list) else [hdus]
    for keyword, value in cards:
        hdus[0].header[keyword] = value
    path = os.path.join(here, name)
    fits.HDUList(hdus).writeto(path, overwrite=True, output_verify="fix")
    if channels:
        expected[name] = [{"channel": channel, **statistics(values)} for channel, values in channels]


def sky(level=1000.0, spread=20.0, width=WIDTH, height=HEIGHT):
    return random.normal(level, spread, (height, width))


def bayer(data, pattern):
    cells = {"R": [], "G": [], "B": []}
    for position, letter in enumerate(pattern):
        cells[letter].append(data[position // 2 :: 2, position % 2 :: 2].ravel())
    names = {"R": "red", "G": "green", "B": "blue"}
    return [(names[letter], numpy.concatenate(cells[letter])) for letter in "RGB"]


uint16 = numpy.rint(sky()).astype(numpy.uint16)
uint16[0, 0] = 65535
write("uint16.fits", fits.PrimaryHDU(uint16), [("mono", uint16)])

uint8 = numpy.clip(numpy.rint(sky(120, 12)), 0, 255).astype(numpy.uint8)
write("uint8.fits", fits.PrimaryHDU(uint8), [("mono", uint8)])

odd = numpy.rint(sky(width=47, height=39)).astype(numpy.int16)
write("int16-odd.fits", fits.PrimaryHDU(odd), [("mono", odd)])

blank = numpy.rint(sky(-50, 9)).astype(numpy.int16)
blank[3:6, 10:20] = -32768
blanked = numpy.where(blank == -32768, numpy.nan, blank.astype(float))
hdu = fits.PrimaryHDU(blank)
hdu.header["BLANK"] = -32768
write("int16-blank.fits", hdu, [("mono", blanked)])

int32 = numpy.rint(sky(1e6, 3000)).astype(numpy.int32)
write("int32.fits", fits.PrimaryHDU(int32), [("mono", int32)])

scaled = fits.PrimaryHDU(sky(250, 4))
scaled.scale("int16", bscale=0.01, bzero=200.0)
scaled_values = scaled.data.astype(float) * 0.01 + 200.0
write("int16-scaled.fits", scaled, [("mono", scaled_values)])

float32 = sky(0.25, 0.01).astype(numpy.float32)
float32[5, 5:25] = numpy.nan
float32[6, 7] = numpy.inf
write("float32-nan.fits", fits.PrimaryHDU(float32), [("mono", float32)])

float64 = sky(-3.5, 1.25)
write("float64.fits", fits.PrimaryHDU(float64), [("mono", float64)])

colors = numpy.rint(numpy.stack([sky(900, 15), sky(1400, 18), sky(700, 12)])).astype(numpy.uint16)
write("cube.fits", fits.PrimaryHDU(colors), list(zip(["red", "green", "blue"], colors)))

single = numpy.rint(sky()).astype(numpy.int16)[numpy.newaxis]
write("one-plane.fits", fits.PrimaryHDU(single), [("mono", single[0])])

mosaic = numpy.rint(sky() * numpy.tile([[0.7, 1.4], [1.4, 0.5]], (HEIGHT // 2, WIDTH // 2))).astype(numpy.uint16)
write(
    "bayer.fits",
    fits.PrimaryHDU(mosaic),
    bayer(mosaic, "RGGB"),
    [("BAYERPAT", "RGGB"), ("EXPTIME", 120.5), ("CCD-TEMP", -10.2), ("EGAIN", 0.79)],
)

mosaic32 = (sky() * numpy.tile([[1.4, 0.5], [0.7, 1.4]], (HEIGHT // 2, WIDTH // 2))).astype(numpy.float32)
hdu = fits.PrimaryHDU(mosaic32)
hdu.header["BAYERPAT"] = "RGGB"
hdu.header["XBAYROFF"] = 0
hdu.header["YBAYROFF"] = 1
write("bayer-float32-offset.fits", hdu, bayer(mosaic32, "GBRG"))

hdu = fits.PrimaryHDU(numpy.rint(sky()).astype(numpy.int16))
hdu.header["LONGTEXT"] = "It's a long text that goes on over several cards, 'quoted' and all. " * 3
hdu.header.append(fits.Card.fromstring("EXPOSURE=               1.25D+2 / an exponent with D"))
hdu.header.append(fits.Card.fromstring("COMPLEXV= (1.5, -2.5)"))
hdu.header["COMMENT"] = "A comment, with an = sign and a / slash"
hdu.header["HISTORY"] = "BITPIX  = 99 is only said here"
write("cards.fits", hdu, [("mono", hdu.data)])

write("extensions.fits", [fits.PrimaryHDU(odd), fits.ImageHDU(odd)], [("mono", odd)])

write("image-in-extension.fits", [fits.PrimaryHDU(), fits.ImageHDU(odd)], None)
write("table-only.fits", [fits.PrimaryHDU(), fits.BinTableHDU.from_columns([fits.Column("A", "J", array=[1, 2])])], None)
write("tile-compressed.fits", [fits.PrimaryHDU(), fits.CompImageHDU(uint16)], None)
groups = fits.GroupData(numpy.zeros((2, 3, 4), "float32"), parnames=["A"], pardata=[numpy.arange(2.0)], bitpix=-32)
write("random-groups.fits", fits.GroupsHDU(groups), None)
write("four-planes.fits", fits.PrimaryHDU(numpy.zeros((4, 8, 8), "int16")), None)

with open(os.path.join(here, "uint16.fits"), "rb") as plain:
    content = plain.read()
with open(os.path.join(here, "uint16.fits.gz"), "wb") as packed:
    packed.write(gzip.compress(content, mtime=0))

with open(os.path.join(here, "expected.json"), "w", encoding="ascii") as out:
    json.dump(expected, out, indent=2, sort_keys=True)
    out.write("\n")
