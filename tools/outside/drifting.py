"""Turn drifting radiosonde reports (BUFR template 309052) into tables.

Usage: python3 drifting.py OUT_FOLDER FILE.bufr...
Needs python3-eccodes. Writes FILE.csv with time, place, geopotential height
and wind of every level that has them all; tests read these tables.
"""
import os
import sys

import eccodes

MISSING = 1e50


def rows(path):
    with open(path, "rb") as handle:
        message = eccodes.codes_bufr_new_from_file(handle)
    eccodes.codes_set(message, "unpack", 1)
    get = lambda key: list(eccodes.codes_get_array(message, key))
    lat, lon = get("latitude")[0], get("longitude")[0]
    columns = [
        get("timePeriod"), get("latitudeDisplacement"), get("longitudeDisplacement"),
        get("nonCoordinateGeopotentialHeight"), get("windDirection"), get("windSpeed"),
    ]
    for t, dlat, dlon, height, direction, speed in zip(*columns):
        if any(abs(v) > MISSING or v == 2147483647 for v in (t, dlat, dlon, height, direction, speed)):
            continue
        yield t, lat + dlat, lon + dlon, height, direction, speed


def main(folder, files):
    for path in files:
        name = os.path.splitext(os.path.basename(path))[0]
        with open(os.path.join(folder, name + ".csv"), "w", encoding="ascii") as out:
            out.write("time_s,lat_deg,lon_deg,height_m,wind_from_deg,wind_speed_mps\n")
            for row in rows(path):
                out.write("%g,%.6f,%.6f,%g,%g,%g\n" % row)


main(sys.argv[1], sys.argv[2:])
