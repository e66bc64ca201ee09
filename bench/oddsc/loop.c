/* The landing ensemble as a plain C loop: the same steps, events and layout of
 * the sky as the program's own, for comparison in the same run.
 *
 * Reads one file written by the Go side (the sky's nodes, the craft, the law of
 * the departures) and either flies members whose draws stand in that file, or
 * draws its own as many times over, and writes where they come down. It knows
 * one member of a forecast with at least two rows and columns away from the
 * poles and the whole circle, and the drag that varies.
 *
 * Build: cc -O3 -o loop loop.c -lm
 * Usage: loop drawn FILE OUT          flies the draws of the file
 *        loop free FILE OUT MEMBERS   draws by itself; prints CPU seconds
 * OUT gets five doubles a member: status, burst height, latitude, longitude,
 * seconds at the landing.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define NODES 61
#define SPACING 1000.0
#define DEGREE (M_PI / 180)
#define GAS_AIR (8.31432 / 0.0289644)
#define GAS 8.31432

typedef struct { float alt, temp, virt, east, north; } node;
typedef struct { double pressure, temperature, density, east, north; } air;

static struct {
    double rows, cols, lat0, dlat, lon0, dlon, times, levels, first, last, surface;
} cube;
static struct { double sigma[NODES], wind[NODES], rise[NODES], rise_sigma, time_scale; } law;
static struct {
    double moles, molar, envelope, train, burst, shape, early, canopy, filling, body;
    double remains_low, remains_centre, remains_high, release, neck_share;
} craft;
static struct { double drag, lift, gas, canopy, fouled, fouled_low, fouled_top, start; } spread;
static struct { double lat, lon, alt, seconds, shift; } start;
static struct { double rise, fall, way, most; } steps;
static double *times, *log_pressure;
static node *nodes;
static float *surface;

typedef struct {
    double drag, moles, gas, burst, canopy, mass, seconds;
    double east[NODES], north[NODES], fresh_east[NODES], fresh_north[NODES], rise[NODES];
} draw;
typedef struct { double status, burst_alt, lat, lon, seconds; } landing;

/* ---- the sky ---- */

static int edges;

static double within(double x, double low, double high) { return x < low ? low : x > high ? high : x; }

static double snap(double share) {
    if (fabs(share) < 1e-9) return 0;
    if (fabs(share - 1) < 1e-9) return 1;
    return share;
}

static int row_of(double lat, double *share) {
    double y = (lat - cube.lat0) / cube.dlat;
    int row = (int)within(floor(y), 0, cube.rows - 2);
    *share = snap(y - row);
    return row;
}

static int col_of(double lon, double *share) {
    double x = lon - cube.lon0, width = (cube.cols - 1) * cube.dlon;
    x -= 360 * floor((x - width / 2 + 180) / 360);
    x /= cube.dlon;
    int col = (int)within(floor(x), 0, cube.cols - 2);
    *share = snap(x - col);
    return col;
}

static air sample(int *layer, double lat, double lon, double alt, double seconds) {
    double fy, fx, ft = 0;
    int row = row_of(lat, &fy), col = col_of(lon, &fx), step = 0;
    int last = (int)cube.times - 1, levels = (int)cube.levels, cols = (int)cube.cols;
    if (fy < 0 || fx < 0 || fy > 1 || fx > 1) {
        edges |= 16;
        fy = within(fy, 0, 1), fx = within(fx, 0, 1);
    }
    if (seconds <= times[0]) {
        edges |= seconds < times[0] ? 4 : 0;
    } else if (seconds >= times[last]) {
        edges |= seconds > times[last] ? 8 : 0;
        step = last;
    } else {
        while (times[step + 1] <= seconds) step++;
        ft = (seconds - times[step]) / (times[step + 1] - times[step]);
    }
    long plane = (long)cube.rows * cols * levels;
    const float *corner[8];
    double weight[8] = {(1 - fy) * (1 - fx), (1 - fy) * fx, fy * (1 - fx), fy * fx};
    int up = row + (fy > 0), next = col + (fx > 0), count = 4;
    const node *base = nodes + step * plane;
    corner[0] = &base[((long)row * cols + col) * levels].alt;
    corner[1] = &base[((long)row * cols + next) * levels].alt;
    corner[2] = &base[((long)up * cols + col) * levels].alt;
    corner[3] = &base[((long)up * cols + next) * levels].alt;
    if (ft > 0) {
        for (int i = 0; i < 4; i++) {
            corner[4 + i] = corner[i] + 5 * plane;
            weight[4 + i] = weight[i] * ft;
            weight[i] *= 1 - ft;
        }
        count = 8;
    }
    int k = *layer, top = levels - 2;
    double v[10] = {0}; /* the nodes below and above, side by side */
    for (int tries = 0; tries < levels; tries++) {
        memset(v, 0, sizeof v);
        for (int i = 0; i < count; i++) {
            const float *p = corner[i] + 5 * k;
            for (int j = 0; j < 10; j++) v[j] += weight[i] * p[j];
        }
        if (alt < v[0] && k > 0) k--;
        else if (alt > v[5] && k < top) k++;
        else break;
    }
    *layer = k;
    if ((k >= cube.last && alt > v[0]) || (k == top && alt > v[5])) edges |= 1;
    if ((k < cube.first && alt < v[5]) || (k == 0 && alt < v[0])) edges |= 2;
    double f = (alt - v[0]) / (v[5] - v[0]);
    double p = exp(log_pressure[k] + f * (log_pressure[k + 1] - log_pressure[k]));
    f = within(f, 0, 1);
    return (air){p, v[1] + f * (v[6] - v[1]), p / (GAS_AIR * (v[2] + f * (v[7] - v[2]))),
                 v[3] + f * (v[8] - v[3]), v[4] + f * (v[9] - v[4])};
}

/* ---- the earth ---- */

static void radii(double lat, double *meridian, double *prime) {
    double a = 6378137, f = 1 / 298.257223563, e2 = f * (2 - f), s = sin(lat), w2 = 1 - e2 * s * s, w = sqrt(w2);
    *meridian = a * (1 - e2) / (w2 * w), *prime = a / w;
}

typedef struct { double lat, sin, cos, meridian, prime; int known; } local;

static void move(local *l, double *lat_deg, double *lon_deg, double alt, double east, double north) {
    double lat = *lat_deg * DEGREE;
    if (!l->known || fabs(lat - l->lat) >= 0.05 * DEGREE) {
        l->known = 1, l->lat = lat, l->sin = sin(lat), l->cos = cos(lat);
        radii(lat, &l->meridian, &l->prime);
    }
    double turn = north / (l->meridian + alt), d = lat + turn / 2 - l->lat;
    double cosine = l->cos - d * (l->sin + d / 2 * l->cos);
    *lon_deg += east / ((l->prime + alt) * cosine) / DEGREE;
    if (*lon_deg >= 180) *lon_deg -= 360;
    else if (*lon_deg < -180) *lon_deg += 360;
    *lat_deg += turn / DEGREE;
}

static double gravity_at(double lat_deg) { /* Somigliana's formula with WGS-84's constants */
    double s = sin(lat_deg * DEGREE), f = 1 / 298.257223563, e2 = f * (2 - f);
    return 9.7803253359 * (1 + 0.00193185265241 * s * s) / sqrt(1 - e2 * s * s);
}

static double higher(double surface_gravity, double alt) {
    double r = 6371008.8 / (6371008.8 + alt);
    return surface_gravity * r * r;
}

static double per_lat, per_lon;

static double ground(double lat, double lon) {
    if (cube.surface == 0) return start.alt;
    double fy, fx;
    int row = row_of(lat, &fy), col = col_of(lon, &fx), cols = (int)cube.cols;
    fy = within(fy, 0, 1), fx = within(fx, 0, 1);
    const float *s = surface + row * cols + col;
    double south = s[0] + fx * ((double)s[1] - s[0]), north = s[cols] + fx * ((double)s[cols + 1] - s[cols]);
    double away = hypot((lat - start.lat) * per_lat, (lon - start.lon) * per_lon);
    return south + fy * (north - south) + start.shift * fmax(1 - away / 50000, 0);
}

/* ---- the departures ---- */

static int spot(double alt, double *share) {
    double x = alt / SPACING;
    if (!(x > 0)) { *share = 0; return 0; }
    if (x >= NODES - 1) { *share = 1; return NODES - 2; }
    *share = x - (int)x;
    return (int)x;
}

static void weigh(double f, double correlation, double *low, double *high) {
    double g = 1 - f, scale = 1 / sqrt(g * g + f * f + 2 * f * g * correlation);
    *low = g * scale, *high = f * scale;
}

static void doubt_up(const draw *d, double alt, double *east, double *north, double *factor) {
    double f, low, high;
    int k = spot(alt, &f);
    weigh(f, law.wind[k], &low, &high);
    double s = law.sigma[k] + f * (law.sigma[k + 1] - law.sigma[k]);
    *east += s * (low * d->east[k] + high * d->east[k + 1]);
    *north += s * (low * d->north[k] + high * d->north[k + 1]);
    weigh(f, law.rise[k], &low, &high);
    *factor = fmax(1 + law.rise_sigma * (low * d->rise[k] + high * d->rise[k + 1]), 0.3);
}

static void doubt_down(const draw *d, const double *passed, double alt, double seconds, double *east, double *north) {
    double f, low, high;
    int k = spot(alt, &f);
    double between = seconds - passed[k] - f * (passed[k + 1] - passed[k]);
    double kept = exp(-fmax(between, 0) / law.time_scale), fresh = sqrt(1 - kept * kept);
    weigh(f, law.wind[k], &low, &high);
    double s = law.sigma[k] + f * (law.sigma[k + 1] - law.sigma[k]);
    *east += s * (kept * (low * d->east[k] + high * d->east[k + 1]) + fresh * (low * d->fresh_east[k] + high * d->fresh_east[k + 1]));
    *north += s * (kept * (low * d->north[k] + high * d->north[k + 1]) + fresh * (low * d->fresh_north[k] + high * d->fresh_north[k + 1]));
}

/* ---- up and down ---- */

/* One step of dw/dt = push - drag w |w|, exactly. */
static double relax(double push, double drag, double speed, double dt, double *way) {
    if (push < 0) {
        double w = relax(-push, drag, -speed, dt, way);
        *way = -*way;
        return -w;
    }
    double terminal = sqrt(push / drag), rate = sqrt(push * drag);
    if (speed < 0) {
        double phase = atan(-speed / terminal), turn = phase / rate;
        if (dt < turn) {
            double left = phase - rate * dt;
            *way = -log(cos(left) / cos(phase)) / drag;
            return -terminal * tan(left);
        }
        double back = log(cos(phase)) / drag, w = relax(push, drag, 0, dt - turn, way);
        *way += back;
        return w;
    }
    double r = speed / terminal, x = rate * dt;
    if (x > 18) {
        *way = terminal * dt + log((1 + r) / 2) / drag;
        return terminal;
    }
    double e = exp(-2 * x), t = (1 - e) / (1 + e);
    *way = terminal * dt + log((1 + e) / 2 * (1 + r * t)) / drag;
    return terminal * (r + t) / (1 + r * t);
}

static landing fly(const draw *d) {
    double lat = start.lat, lon = start.lon, alt = start.alt, now = d->seconds, speed = 0;
    double surface_gravity = gravity_at(lat), passed[NODES], mass = craft.envelope + craft.train + d->moles * craft.molar;
    int layer = 0;
    local earth = {0};
    for (int k = 0; k < NODES; k++) passed[k] = now;
    edges = 0;
    air a = sample(&layer, lat, lon, alt, now);
    double volume = d->moles * GAS * (a.temperature + d->gas) / a.pressure;
    if (a.density * volume - mass <= 0) return (landing){1, alt, lat, lon, now};
    if (log(d->burst / cbrt(6 / M_PI * volume)) > 0) {
        double dt = fmin(0.5, steps.rise), end = now + steps.most;
        for (;;) {
            if (now >= end) return (landing){2, alt, lat, lon, now};
            double mid_alt = alt + speed * dt / 2, mid_lat = lat, mid_lon = lon, factor;
            move(&earth, &mid_lat, &mid_lon, alt, a.east * dt / 2, a.north * dt / 2);
            a = sample(&layer, mid_lat, mid_lon, mid_alt, now + dt / 2);
            doubt_up(d, mid_alt, &a.east, &a.north, &factor);
            double g = higher(surface_gravity, mid_alt);
            volume = d->moles * GAS * (a.temperature + d->gas) / a.pressure;
            double diameter = cbrt(6 / M_PI * volume), inertia = mass + 0.5 * a.density * volume;
            double push = (a.density * volume - mass) * g / inertia;
            double per_cd = a.density * (M_PI / 4 * diameter * diameter) * d->drag / (2 * inertia * factor * factor);
            double viscosity = 1.458e-6 * a.temperature * sqrt(a.temperature) / (a.temperature + 110.4);
            double re_per_speed = a.density * diameter / viscosity, reached = speed, new_speed = 0, way = 0;
            for (int round = 0; round < 3; round++) {
                double re = re_per_speed * fabs(reached), l = log(within(re, 4e4, 1e6));
                double cd = (0.04808 * l - 1.406) * l + 10.490, slope = re > 4e4 && re < 1e6 ? 2 * 0.04808 * l - 1.406 : 0;
                new_speed = relax(push, per_cd * cd, speed, dt, &way);
                double change = new_speed - reached;
                if (fabs(change) < 0.01 * fabs(new_speed)) {
                    double answer = -slope / (2 * cd), more = change * answer / (1 - answer);
                    new_speed += more, way += more * dt;
                    break;
                }
                reached = new_speed;
            }
            double left = INFINITY, share = 1;
            if (diameter * 1.2 > d->burst)
                left = mid_alt + 3 * a.pressure / (a.density * g) * log(d->burst / diameter) - alt;
            int burst = left <= way;
            if (burst) share = within(left / way, 0, 1);
            for (int k = alt < 0 ? 0 : (int)(alt / SPACING); k < NODES && k * SPACING <= alt + way; k++)
                if (k * SPACING >= alt) passed[k] = now + dt * (k * SPACING - alt) / fmax(way, 1);
            move(&earth, &lat, &lon, mid_alt, a.east * dt * share, a.north * dt * share);
            alt += way * share, now += dt * share, speed = new_speed;
            if (burst) break;
            dt = fmin(fmin(dt * 1.4, steps.rise), steps.way / fmax(fabs(speed), 1));
        }
        int k = (int)(fmax(alt, 0) / SPACING) + 1;
        if (k < NODES) passed[k] = now;
    }
    landing out = {0, alt, 0, 0, 0};
    double dt = 0.5, fallen = 0, end = d->seconds + steps.most;
    speed = -speed, surface_gravity = gravity_at(lat), earth.known = 0;
    a = sample(&layer, lat, lon, alt, now);
    while (now < end) {
        double mid_alt = alt - speed * dt / 2, mid_lat = lat, mid_lon = lon, way;
        move(&earth, &mid_lat, &mid_lon, alt, a.east * dt / 2, a.north * dt / 2);
        a = sample(&layer, mid_lat, mid_lon, mid_alt, now + dt / 2);
        doubt_down(d, passed, mid_alt, now + dt / 2, &a.east, &a.north);
        double share = fallen < craft.filling ? fmax(fallen, 0) / craft.filling : 1;
        double area = d->canopy * share * share + craft.body;
        double new_speed = relax(higher(surface_gravity, mid_alt), a.density * area / (2 * d->mass), speed, dt, &way);
        double to_lat = lat, to_lon = lon, to_alt = alt - way, under;
        move(&earth, &to_lat, &to_lon, mid_alt, a.east * dt, a.north * dt);
        fallen += way;
        if (to_alt <= 9000 && to_alt <= (under = ground(to_lat, to_lon))) {
            double here = ground(lat, lon), part = (alt - here) / ((alt - here) - (to_alt - under));
            lat += part * (to_lat - lat), lon += part * (to_lon - lon), now += part * dt;
            a = sample(&layer, lat, lon, alt + part * (to_alt - alt), now);
            out.lat = lat, out.lon = lon, out.seconds = now;
            return out;
        }
        lat = to_lat, lon = to_lon, alt = to_alt, now += dt, speed = new_speed;
        dt = fmin(fmin(dt * 1.4, steps.fall), steps.way / fmax(fabs(speed), 1));
    }
    out.status = 2;
    return out;
}

/* ---- draws of its own ---- */

static unsigned __int128 state;

static uint64_t bits(void) { /* a permuted congruential generator of 128 bits */
    state = state * (((unsigned __int128)0x2360ed051fc65da4 << 64) | 0x4385df649fccf645) + 0x9e3779b97f4a7c15;
    uint64_t x = (uint64_t)(state >> 64) ^ (uint64_t)state;
    unsigned turn = (unsigned)(state >> 122);
    return x >> turn | x << (-turn & 63);
}

static double even(void) { return (bits() >> 11) * 0x1p-53; }

/* The ziggurat of Marsaglia and Tsang (2000) with 128 layers of one area. */
#define LAYERS 128
static double edge[LAYERS + 1], height[LAYERS + 1];

static void build_ziggurat(void) {
    const double tail = 3.442619855899, area = 9.91256303526217e-3;
    edge[0] = area / exp(-tail * tail / 2), edge[1] = tail, edge[LAYERS] = 0;
    for (int i = 2; i < LAYERS; i++) edge[i] = sqrt(-2 * log(area / edge[i - 1] + exp(-edge[i - 1] * edge[i - 1] / 2)));
    for (int i = 0; i <= LAYERS; i++) height[i] = exp(-edge[i] * edge[i] / 2);
}

static double normal(void) {
    for (;;) {
        uint64_t b = bits();
        int i = b & (LAYERS - 1);
        double u = ((int64_t)b >> 11) * 0x1p-52, x = u * edge[i];
        if (fabs(x) < edge[i + 1]) return x;
        if (i == 0) {
            double far, y;
            do far = -log(1 - even()) / edge[1], y = -log(1 - even()); while (2 * y < far * far);
            return u < 0 ? -edge[1] - far : edge[1] + far;
        }
        if (height[i] + even() * (height[i + 1] - height[i]) < exp(-x * x / 2)) return x;
    }
}

static void profile(double *to, const double *correlation) {
    to[0] = normal();
    for (int k = 1; k < NODES; k++) {
        double c = correlation[k - 1];
        to[k] = c * to[k - 1] + sqrt(1 - c * c) * normal();
    }
}

static double survival(double diameter, double from, double to) {
    double whole = exp(-M_LN2 * pow(diameter / craft.burst, craft.shape));
    double early = diameter < from ? 1 : diameter < to ? (to - diameter) / (to - from) : 0;
    return (1 - craft.early) * whole + craft.early * early;
}

static double burst_size(double u) {
    double from = fmin(1.3 * craft.release, craft.burst), to = fmax(craft.burst * 2 / 3, from), target = 1 - u;
    if (target < survival(to, from, to))
        return fmax(craft.burst * pow(-log(target / (1 - craft.early)) / M_LN2, 1 / craft.shape), to);
    double low = 0, high = to;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (survival(middle, from, to) > target) low = middle;
        else high = middle;
    }
    return high;
}

static void draw_own(draw *d, uint64_t member) {
    state = ((unsigned __int128)(member * 0xbf58476d1ce4e5b9) << 64) | (member + 1) * 0x94d049bb133111eb;
    bits(), bits();
    d->drag = exp(spread.drag * normal());
    d->moles = craft.moles * fmax(1 + spread.lift * craft.neck_share * normal(), 0);
    d->gas = spread.gas * normal();
    d->burst = burst_size(even());
    double canopy = exp(spread.canopy * normal()), fouled = even(), keeps = spread.fouled_low + (spread.fouled_top - spread.fouled_low) * even();
    d->canopy = craft.canopy * canopy * (fouled < spread.fouled ? keeps : 1);
    double u = even();
    double remains = u < 0.5 ? craft.remains_low + 2 * u * (craft.remains_centre - craft.remains_low)
                             : craft.remains_centre + (2 * u - 1) * (craft.remains_high - craft.remains_centre);
    d->mass = craft.train + remains * craft.envelope;
    d->seconds = start.seconds + spread.start * (2 * even() - 1);
    profile(d->east, law.wind), profile(d->north, law.wind);
    profile(d->fresh_east, law.wind), profile(d->fresh_north, law.wind);
    profile(d->rise, law.rise);
}

/* ---- files ---- */

static void fail(const char *what) {
    fprintf(stderr, "loop: %s\n", what);
    exit(1);
}

static void take(FILE *f, void *to, size_t size, size_t count) {
    if (fread(to, size, count, f) != count) fail("the file ends early");
}

int main(int argc, char **argv) {
    if (argc < 4) fail("usage: loop drawn|free FILE OUT [MEMBERS]");
    int drawn = strcmp(argv[1], "drawn") == 0;
    FILE *f = fopen(argv[2], "rb");
    if (!f) fail("the file cannot be opened");
    take(f, &cube, sizeof cube, 1), take(f, &law, sizeof law, 1), take(f, &craft, sizeof craft, 1);
    take(f, &spread, sizeof spread, 1), take(f, &start, sizeof start, 1), take(f, &steps, sizeof steps, 1);
    size_t columns = (size_t)(cube.rows * cube.cols), count = columns * cube.times * cube.levels;
    times = malloc(cube.times * sizeof *times), log_pressure = malloc(cube.levels * sizeof *log_pressure);
    nodes = malloc(count * sizeof *nodes), surface = malloc(columns * sizeof *surface);
    take(f, times, sizeof *times, cube.times), take(f, log_pressure, sizeof *log_pressure, cube.levels);
    take(f, nodes, sizeof *nodes, count);
    if (cube.surface != 0) take(f, surface, sizeof *surface, columns);
    double given;
    take(f, &given, sizeof given, 1);
    double meridian, prime;
    radii(start.lat * DEGREE, &meridian, &prime);
    per_lat = meridian * DEGREE, per_lon = prime * cos(start.lat * DEGREE) * DEGREE;
    build_ziggurat();

    size_t members = drawn ? (size_t)given : strtoul(argc > 4 ? argv[4] : "0", NULL, 10);
    landing *out = calloc(members + 1, sizeof *out);
    draw d;
    struct timespec from, to;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
    for (size_t i = 0; i < members; i++) {
        if (drawn) take(f, &d, sizeof d, 1);
        else draw_own(&d, i);
        out[i] = fly(&d);
    }
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
    printf("%.6f\n", to.tv_sec - from.tv_sec + 1e-9 * (to.tv_nsec - from.tv_nsec));
    FILE *o = fopen(argv[3], "wb");
    if (!o || fwrite(out, sizeof *out, members, o) != members || fclose(o)) fail("the landings cannot be written");
    return 0;
}
