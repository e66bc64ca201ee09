"""Writes every field of GRIB files as ecCodes reads it, for a test to compare.

Usage: python3 tools/outside/eccodes_values.py FILE... > VALUES.bin
Needs the Debian package python3-eccodes. For each field, little-endian: the
number of values (uint64), or all ones when ecCodes cannot decode it; latitude
and longitude of the first and the last point (float64, NaN when ecCodes does
not say); the values in the order of the file (float64, NaN where missing).
"""

import sys

import eccodes
import numpy

MISSING = 1e300
NONE = numpy.array([2**64 - 1], "<u8").tobytes()


def corners(message, known={}):
    grid = eccodes.codes_get(message, "md5Section3")
    if grid not in known:
        known[grid] = places(message)
    return known[grid]


def places(message):
    try:
        lats = eccodes.codes_get_array(message, "latitudes")
        lons = eccodes.codes_get_array(message, "longitudes")
        return [lats[0], lons[0], lats[-1], lons[-1]]
    except eccodes.CodesInternalError:
        return [float("nan")] * 4


def main():
    out = sys.stdout.buffer
    eccodes.codes_grib_multi_support_on()
    for name in sys.argv[1:]:
        with open(name, "rb") as file:
            while (message := eccodes.codes_grib_new_from_file(file)) is not None:
                ends = corners(message)
                eccodes.codes_set(message, "missingValue", MISSING)
                try:
                    values = eccodes.codes_get_array(message, "values").astype("<f8")
                    values[values == MISSING] = numpy.nan
                    head = numpy.array([len(values)], "<u8").tobytes()
                except eccodes.CodesInternalError:
                    values, head = numpy.array([], "<f8"), NONE
                out.write(head + numpy.array(ends, "<f8").tobytes() + values.tobytes())
                eccodes.codes_release(message)


main()
