"""Writes ground/sun/testdata/ephem.tsv: the Sun by PyEphem (libastro), which is no code of ours.

Run: PYTHONPATH=<dir of ephem> python3 tools/outside/sun_values.py > ground/sun/testdata/ephem.tsv
Rise and set are found here by halving PyEphem's own airless, topocentric elevation of the centre
at -50' (limb with the conventional refraction) and -6 degrees, within 12 h of PyEphem's transit.
"""
import datetime
import math
import ephem

PLACES = [
    (47.1, 9.5), (40.0961, -99.2094), (-33.9, 18.4), (0.0, 0.0), (1.3, 103.8), (-0.2, -78.5),
    (64.15, -21.95), (65.9, 24.1), (69.65, 18.95), (78.2, 15.6), (-54.8, -68.3), (-77.85, 166.67),
    (71.3, -156.8), (52.0, 179.9), (-17.8, -179.9), (21.3, -157.8), (-41.3, 174.8), (35.7, 139.7),
    (60.2, 24.9), (55.75, 37.6), (-23.5, -46.6), (30.0, 31.2), (89.5, 0.0), (-89.99, 100.0),
]
DATES = [(2025, 3, 20), (2026, 6, 21), (2026, 9, 23), (2026, 12, 21), (2027, 4, 17), (2027, 1, 25), (2029, 11, 2)]


def observer(lat, lon):
    o = ephem.Observer()
    o.lat, o.lon, o.elevation, o.pressure, o.epoch = str(lat), str(lon), 0, 0, ephem.J2000
    return o


def sky(o, when):
    o.date = when
    s = ephem.Sun(o)
    return math.degrees(s.alt), math.degrees(s.az)


def crossing(o, noon, threshold, direction):
    at_noon = sky(o, noon)[0] > threshold
    near = 0.0
    for i in range(1, 145):  # every 5 minutes
        far = i / 288.0
        if (sky(o, noon + direction * far)[0] > threshold) != at_noon:
            for _ in range(40):
                middle = (near + far) / 2
                if (sky(o, noon + direction * middle)[0] > threshold) == at_noon:
                    near = middle
                else:
                    far = middle
            return iso(noon + direction * far)
        near = far
    return "above" if at_noon else "below"


def iso(days):
    moment = datetime.datetime(1899, 12, 31, 12) + datetime.timedelta(days=float(days))
    return moment.isoformat(timespec="milliseconds") + "Z"


print("# lat_deg\tlon_deg\tasked\televation_deg\tazimuth_deg\tnoon\tup\tdown\tcivil_up\tcivil_down")
for lat, lon in PLACES:
    for year, month, day in DATES:
        o = observer(lat, lon)
        asked = ephem.Date((year, month, day, 12, 0, 0)) - lon / 360.0
        asked = ephem.Date(round(asked * 1440) / 1440)
        elevation, azimuth = sky(o, asked)
        o.date = asked - 0.25
        noon = o.next_transit(ephem.Sun())
        row = [f"{lat:.4f}", f"{lon:.4f}", iso(asked), f"{elevation:.4f}", f"{azimuth:.4f}", iso(noon)]
        row += [crossing(o, noon, t, d) for t in (-50 / 60, -6) for d in (-1, 1)]
        print("\t".join(row))
