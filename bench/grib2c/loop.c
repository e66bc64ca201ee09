/* Decodes every field of a GRIB file with ecCodes' array call, over and over for
 * a number of seconds, and prints values a second, in millions.
 *
 * The file is read into memory first and the handles are made beforehand, so
 * that only the decoding is timed; each round decodes all fields into the same
 * array. The best round counts, as for the other side of the comparison.
 *
 * Build: cc -O3 -o loop loop.c -leccodes
 * Usage: loop FILE SECONDS
 */
#include <eccodes.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

static void fail(const char *what) {
    fprintf(stderr, "loop: %s\n", what);
    exit(1);
}

int main(int argc, char **argv) {
    if (argc != 3) fail("usage: loop FILE SECONDS");
    FILE *file = fopen(argv[1], "rb");
    if (!file) fail("the file cannot be opened");
    double limit = atof(argv[2]);

    codes_handle **fields = NULL;
    size_t count = 0, most = 0, total = 0;
    codes_grib_multi_support_on(NULL);
    int error = 0;
    for (codes_handle *h; (h = codes_handle_new_from_file(NULL, file, PRODUCT_GRIB, &error)) != NULL;) {
        size_t size;
        if (codes_get_size(h, "values", &size)) fail("a field has no values");
        fields = realloc(fields, (count + 1) * sizeof *fields);
        /* A clone lies in memory of its own, whatever the reader does next. */
        fields[count++] = codes_handle_clone(h);
        codes_handle_delete(h);
        if (size > most) most = size;
        total += size;
    }
    if (count == 0) fail("the file has no field");
    double *values = malloc(most * sizeof *values);

    double best = 1e99, sum = 0, begin = now();
    do {
        double start = now();
        for (size_t i = 0; i < count; i++) {
            size_t size = most;
            if (codes_get_double_array(fields[i], "values", values, &size)) fail("a field cannot be decoded");
            sum += values[size / 2];
        }
        double took = now() - start;
        if (took < best) best = took;
    } while (now() - begin < limit);
    printf("%.3f %zu %.17g\n", total / best / 1e6, total, sum);
    return 0;
}
