"""Writes the table air/forecast/testdata/gfs20111008-points.tsv with ecCodes.

Usage: /usr/bin/python3 tools/outside/gfs_points.py FILE.grib2 > POINTS.tsv
Needs the Debian package python3-eccodes. Values are those of grid nodes, in full
precision; the first four places are the corners of one grid cell.
"""

import sys

import eccodes

PLACES = [
    (47.5, 10.0), (47.5, 12.5), (50.0, 10.0), (50.0, 12.5),
    (40.0, 260.0), (-25.0, 127.5), (0.0, 0.0), (0.0, 357.5),
    (52.5, 177.5), (52.5, 180.0), (-60.0, 300.0), (90.0, 0.0), (-90.0, 180.0),
]
LEVELS = [1000, 850, 500, 250, 100, 50, 20, 10]

print("parameter\tlevel_hpa\tlat_deg\tlon_deg\tvalue")
with open(sys.argv[1], "rb") as file:
    eccodes.codes_grib_multi_support_on()
    while (message := eccodes.codes_grib_new_from_file(file)) is not None:
        name = eccodes.codes_get(message, "shortName")
        level = eccodes.codes_get(message, "level")
        if level in LEVELS:
            for lat, lon in PLACES:
                near = eccodes.codes_grib_find_nearest(message, lat, lon)[0]
                assert near.distance < 0.01, (lat, lon, near)
                print(name, level, lat, lon, repr(near.value), sep="\t")
        eccodes.codes_release(message)
