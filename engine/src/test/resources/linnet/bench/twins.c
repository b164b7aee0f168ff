/* Plain C of the same maths as kernels that have no twin elsewhere, to be timed beside them. The mathematics, the coefficients and the
 * size of a cell are theirs; how it is laid out is what gcc makes the most of. BesideCTest compiles it, proves that it
 * computes the same, and times it.
 *
 *   gcc -O3 -march=native -ffp-contract=off twins.c -o twins -lm -ldl
 *   ./twins KERNEL IN [OUT]    IN and OUT hold raw doubles; OUT has one channel after the other
 *
 * Prints nanoseconds of thread time per sample, of the second of two runs over the sound. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define RATE 48000.0
#define CELL 480
#define APART static __attribute__((noinline))   /* its pointers are restrict, and stay so */
#define PART static inline __attribute__((always_inline))

static long frames;
static double *sound, *out[2]; /* out: where it is to be kept */

static void copy(double *to, const double *from, int n) { memcpy(to, from, n * sizeof *to); }
static void keep(int channel, long at, const double *from, int n) { if (out[channel]) copy(out[channel] + at, from, n); }
static double *zeros(long n) { double *p = calloc(n, sizeof *p); if (!p) abort(); return p; }

/* ---- The Kaiser window. */

static double bessel(double x) {
    double sum = 1, term = 1;
    for (int k = 1; term > sum * 1e-17; k++) { term *= x / (2 * k) * (x / (2 * k)); sum += term; }
    return sum;
}
static double beta(double db) { return 0.1102 * (db - 8.7); }
static double kaiser(double x, double b) { double d = 1 - x * x; return bessel(b * sqrt(d > 0 ? d : 0)) / bessel(b); }
static double sinc(double x) { return x == 0 ? 1 : sin(M_PI * x) / (M_PI * x); }

/* ---- Saturation: half-bands of 22 and of 7 pairs up, tanh within 1e-9, the same two down. */

enum { LONG = 22, SHORT = 7 };
static double taps22[LONG], taps7[SHORT];

static void half_band(double *taps, int pairs, double db) {
    double sum = 0;
    for (int k = 0; k < pairs; k++) {
        double o = 2 * (pairs - k) - 1;
        taps[k] = sinc(o / 2) * kaiser(o / (2 * pairs - 1), beta(db));
        sum += 2 * taps[k];
    }
    for (int k = 0; k < pairs; k++) taps[k] /= sum;
}

/* With the number of pairs known, gcc makes a vector of neighbouring outputs and keeps the sums in registers. */
PART void mirrored(const double *restrict x, const double *restrict taps, const int pairs, double *restrict y, int n) {
    for (int i = 0; i < n; i++) {
        double sum = 0;
        for (int k = 0; k < pairs; k++) sum += taps[k] * (x[i + k] + x[i + 2 * pairs - 1 - k]);
        y[i] = sum;
    }
}
APART void mirrored22(const double *restrict x, double *restrict y, int n) { mirrored(x, taps22, LONG, y, n); }
APART void mirrored7(const double *restrict x, double *restrict y, int n) { mirrored(x, taps7, SHORT, y, n); }

PART double tanh9(double x) {
    double held = x < -19 ? -19 : x > 19 ? 19 : x, size = fabs(held), r = size * (1.4426950408889634 / 64), r2 = r * r;
    double low = 0.6931471807045375 + r * 0.24022651066567688 + r2 * (0.055504103659779105 + r * 0.009618038131294629);
    double high = 0.001333393506442234 + r * 0.00015466756524195444 + r2 * 1.5196154867114089e-05;
    double e = r * (low + r2 * r2 * high);
    e *= 2 + e; e *= 2 + e; e *= 2 + e; e *= 2 + e; e *= 2 + e; e *= 2 + e; e *= 2 + e;
    return held * e / ((2 + e) * (size + 2.2250738585072014e-308));
}
APART void bend(double *restrict x, double drive, double gain, int n) { for (int i = 0; i < n; i++) x[i] = gain * tanh9(drive * x[i]); }

APART void weave(const double *restrict a, const double *restrict b, double *restrict y, int n) { for (int i = 0; i < n; i++) { y[2 * i] = a[i]; y[2 * i + 1] = b[i]; } }
APART void part(const double *restrict x, double *restrict a, double *restrict b, int n) { for (int i = 0; i < n; i++) { a[i] = x[2 * i]; b[i] = x[2 * i + 1]; } }
APART void average(const double *restrict a, const double *restrict b, double *restrict y, int n) { for (int i = 0; i < n; i++) y[i] = 0.5 * (a[i] + b[i]); }

static void saturate(void) {
    /* Each: what the cells before left, then a cell. */
    enum { P = 2 * LONG - 1, Q = 2 * SHORT - 1 };
    double up[P + CELL] = {0}, up2[Q + 2 * CELL] = {0}, odd[P + CELL] = {0}, even[LONG - 1 + CELL + 1] = {0}, odd2[Q + 2 * CELL] = {0}, even2[SHORT - 1 + 2 * CELL] = {0};
    double folded[2 * CELL], twice[2 * CELL], x[CELL];
    half_band(taps22, LONG, 110);
    half_band(taps7, SHORT, 110);
    double drive = pow(10, 9.5 / 20) - 1, gain = 0.25 / tanh(drive * 0.25);
    for (long at = 0; at + CELL <= frames; at += CELL) {
        copy(up + P, sound + at, CELL);
        mirrored22(up, folded, CELL);
        weave(up + LONG - 1, folded, up2 + Q, CELL);
        copy(up, up + CELL, P);

        mirrored7(up2, odd2 + Q, 2 * CELL);
        copy(even2 + SHORT - 1, up2 + SHORT - 1, 2 * CELL);
        copy(up2, up2 + 2 * CELL, Q);

        bend(even2 + SHORT - 1, drive, gain, 2 * CELL);
        bend(odd2 + Q, drive, gain, 2 * CELL);

        mirrored7(odd2, folded, 2 * CELL);
        average(even2, folded, twice, 2 * CELL);
        copy(odd2, odd2 + 2 * CELL, Q);
        copy(even2, even2 + 2 * CELL, SHORT - 1);

        /* The even ones are a sample late: the sum of the delays is then a whole number. */
        part(twice, odd + P, even + LONG, CELL);
        mirrored22(odd, folded, CELL);
        average(even, folded, x, CELL);
        keep(0, at, x, CELL);
        copy(odd, odd + CELL, P);
        copy(even, even + CELL, LONG);
    }
}

/* ---- Reverb: a band, five all-passes, eight lines with an absorption each, Hadamard's matrix and slow rotations. */

typedef struct { double b0, b1, b2, a1, a2, s1, s2; } biquad;
enum { LINES = 8, ALL_PASSES = 5 };

static biquad butterworth(double hz, int high) {
    double w = 2 * M_PI * hz / RATE, c = cos(w), a = sin(w) / (2 * M_SQRT1_2), b = high ? 1 + c : 1 - c;
    return (biquad){b / 2 / (1 + a), (high ? -b : b) / (1 + a), b / 2 / (1 + a), -2 * c / (1 + a), (1 - a) / (1 + a), 0, 0};
}
APART void biquads(double *x, biquad *f, int n) {
    biquad p = f[0], q = f[1];
    for (int i = 0; i < n; i++) {
        double v = x[i], y = p.b0 * v + p.s1, z;
        p.s1 = (p.b1 * v + p.s2) - p.a1 * y;
        p.s2 = p.b2 * v - p.a2 * y;
        z = q.b0 * y + q.s1;
        q.s1 = (q.b1 * y + q.s2) - q.a1 * z;
        q.s2 = q.b2 * y - q.a2 * z;
        x[i] = z;
    }
    f[0] = p; f[1] = q;
}

APART void all_passes(double *restrict x, double gain, double *restrict a, double *restrict b, double *restrict c, double *restrict d, double *restrict e, int n) {
    const double g = 0.65;
    for (int i = 0; i < n; i++) {
        double A = a[i], B = b[i], C = c[i], D = d[i], E = e[i], v;
        a[i] = v = gain * x[i] + g * A;
        b[i] = v = (A - g * v) + g * B;
        c[i] = v = (B - g * v) + g * C;
        d[i] = v = (C - g * v) + g * D;
        e[i] = v = (D - g * v) + g * E;
        x[i] = E - g * v;
    }
}

typedef struct { double way_cos[CELL], way_sin[CELL], cos[CELL], sin[CELL], cell_cos, cell_sin, c, s; } turn;
static void turn_of(turn *t, double hz) {
    double step = 2 * M_PI * hz / RATE;
    for (int i = 0; i < CELL; i++) { t->way_cos[i] = cos(step * i); t->way_sin[i] = sin(step * i); }
    t->cell_cos = cos(step * CELL); t->cell_sin = sin(step * CELL); t->c = 1; t->s = 0;
}
APART void fill(turn *t) {
    double c = t->c / sqrt(LINES), s = t->s / sqrt(LINES), next = t->c * t->cell_cos - t->s * t->cell_sin;
    for (int i = 0; i < CELL; i++) { t->cos[i] = c * t->way_cos[i] - s * t->way_sin[i]; t->sin[i] = s * t->way_cos[i] + c * t->way_sin[i]; }
    t->s = t->s * t->cell_cos + t->c * t->cell_sin; t->c = next;
}

/* Eight recurrences in flight at once. */
APART void absorb(double *restrict const *a, const double *fresh, const double *pole, double *state, int n) {
    double *restrict a0 = a[0], *restrict a1 = a[1], *restrict a2 = a[2], *restrict a3 = a[3], *restrict a4 = a[4], *restrict a5 = a[5], *restrict a6 = a[6], *restrict a7 = a[7];
    double s[LINES], e[LINES], d[LINES];
    memcpy(s, state, sizeof s); memcpy(e, fresh, sizeof e); memcpy(d, pole, sizeof d);
    for (int i = 0; i < n; i++) {
        a0[i] = s[0] = a0[i] * e[0] + s[0] * d[0];
        a1[i] = s[1] = a1[i] * e[1] + s[1] * d[1];
        a2[i] = s[2] = a2[i] * e[2] + s[2] * d[2];
        a3[i] = s[3] = a3[i] * e[3] + s[3] * d[3];
        a4[i] = s[4] = a4[i] * e[4] + s[4] * d[4];
        a5[i] = s[5] = a5[i] * e[5] + s[5] * d[5];
        a6[i] = s[6] = a6[i] * e[6] + s[6] * d[6];
        a7[i] = s[7] = a7[i] * e[7] + s[7] * d[7];
    }
    memcpy(state, s, sizeof s);
}

/* What is heard, and what goes in again. */
APART void mix(double *restrict a0, double *restrict a1, double *restrict a2, double *restrict a3, double *restrict a4, double *restrict a5, double *restrict a6, double *restrict a7,
        const double *restrict x, const double *restrict c, const double *restrict s, const double *restrict C, const double *restrict S, double *restrict l, double *restrict r, int n) {
    for (int i = 0; i < n; i++) {
        l[i] = (a0[i] - a2[i]) + (a4[i] - a6[i]);
        r[i] = (a1[i] - a3[i]) + (a5[i] - a7[i]);
        double b0 = a0[i] + a1[i], b1 = a0[i] - a1[i], b2 = a2[i] + a3[i], b3 = a2[i] - a3[i], b4 = a4[i] + a5[i], b5 = a4[i] - a5[i], b6 = a6[i] + a7[i], b7 = a6[i] - a7[i];
        double c0 = b0 + b2, c1 = b1 + b3, c2 = b0 - b2, c3 = b1 - b3, c4 = b4 + b6, c5 = b5 + b7, c6 = b4 - b6, c7 = b5 - b7;
        double u0 = c0 + c4, v0 = c0 - c4, u1 = c5 + c1, v1 = c5 - c1, u2 = c2 + c6, v2 = c2 - c6, u3 = c7 + c3, v3 = c7 - c3;
        a0[i] = x[i] + (c[i] * u0 + s[i] * v0);
        a4[i] = x[i] + (c[i] * v0 - s[i] * u0);
        a5[i] = x[i] + (c[i] * u1 + s[i] * v1);
        a1[i] = x[i] + (c[i] * v1 - s[i] * u1);
        a2[i] = x[i] + (C[i] * u2 + S[i] * v2);
        a6[i] = x[i] + (C[i] * v2 - S[i] * u2);
        a7[i] = x[i] + (C[i] * u3 + S[i] * v3);
        a3[i] = x[i] + (C[i] * v3 - S[i] * u3);
    }
}

static int prime_from(int n) {
    for (int d = 2; d * d <= n; d++) if (n % d == 0) return prime_from(n + 1);
    return n;
}

/* A line is a ring of cells: what comes out is worked on in the cell where it goes in again, and is copied only once. */
static void network(void) {
    const double decay = 1.4, damping = 0.35, scale = sqrt(decay / 1.5), seconds[ALL_PASSES] = {0.00083, 0.00171, 0.00361, 0.00733, 0.0127};
    static turn slow, fast;
    double *ring[LINES], *pass[ALL_PASSES], fresh[LINES], pole[LINES], state[LINES] = {0}, kept = 0, leaving = 0;
    int length[LINES], cells[LINES], now[LINES] = {0}, pass_length[ALL_PASSES], pass_at[ALL_PASSES] = {0}, last = 0;
    biquad band[2] = {butterworth(200, 1), butterworth(9000, 0)};
    for (int k = 0; k < LINES; k++) {
        int wanted = lround(scale * 0.029 * pow(0.097 / 0.029, k / (LINES - 1.0)) * RATE);
        length[k] = last = prime_from(wanted > last ? wanted : last + 1);
        cells[k] = 1 + (last + CELL - 1) / CELL;
        ring[k] = zeros((long) cells[k] * CELL);
        double mid = 3 * log(10) * last / (RATE * decay), cos_mid = cos(2 * M_PI * 1300 / RATE), cos_high = cos(2 * M_PI * 8000 / RATE);
        double low_pass = fmin(mid * damping / (1 - damping), 0.45 * 0.5 * log((1 - cos_high) / (1 - cos_mid)));
        double ratio = exp(-2 * low_pass), half = (cos_mid - ratio * cos_high) / (1 - ratio), p = 1 / (half + sqrt(half * half - 1));
        double root = sqrt(1 - 2 * p * cos_mid + p * p), gain = exp(-mid) * root / (1 - p), g = gain * (1 - p) / root;
        fresh[k] = gain * (1 - p);
        pole[k] = p;
        kept += g * g / LINES;
        leaving += g * g / 2;
    }
    for (int k = 0; k < ALL_PASSES; k++) pass[k] = zeros(pass_length[k] = lround(seconds[k] * scale * RATE));
    turn_of(&slow, 0.36);
    turn_of(&fast, 0.58);
    double gain = sqrt((1 - kept) / leaving), x[CELL], l[CELL], r[CELL];
    for (long at = 0; at + CELL <= frames; at += CELL) {
        copy(x, sound + at, CELL);
        biquads(x, band, CELL);
        for (int i = 0, n; i < CELL; i += n) {
            n = CELL - i;
            for (int k = 0; k < ALL_PASSES; k++) if (n > pass_length[k] - pass_at[k]) n = pass_length[k] - pass_at[k];
            all_passes(x + i, gain, pass[0] + pass_at[0], pass[1] + pass_at[1], pass[2] + pass_at[2], pass[3] + pass_at[3], pass[4] + pass_at[4], n);
            for (int k = 0; k < ALL_PASSES; k++) if ((pass_at[k] += n) == pass_length[k]) pass_at[k] = 0;
        }
        fill(&slow);
        fill(&fast);
        double *a[LINES];
        for (int k = 0; k < LINES; k++) {
            int size = cells[k] * CELL, from = (now[k] * CELL - length[k] + size) % size, n = size - from < CELL ? size - from : CELL;
            a[k] = ring[k] + now[k] * CELL;
            copy(a[k], ring[k] + from, n);
            copy(a[k] + n, ring[k], CELL - n);
            now[k] = (now[k] + 1) % cells[k];
        }
        absorb(a, fresh, pole, state, CELL);
        mix(a[0], a[1], a[2], a[3], a[4], a[5], a[6], a[7], x, slow.cos, slow.sin, fast.cos, fast.sin, l, r, CELL);
        keep(0, at, l, CELL);
        keep(1, at, r, CELL);
    }
    for (int k = 0; k < LINES; k++) free(ring[k]);
    for (int k = 0; k < ALL_PASSES; k++) free(pass[k]);
}

/* ---- 44.1 to 48 kHz: a windowed sinc, 126 dB, pass band to 20 kHz of 44.1. IN is at 44.1 kHz; as many samples come out as go in. */

/* Outputs of one phase at once: ROW makes four vectors, whose sums stay in registers, and all rows fit into the first cache. */
enum { UP = 160, DOWN = 147, TAPS = 180, ROW = 16 };
APART void weigh(const double (*restrict x)[ROW], const double *restrict h, double *restrict y) {
    double sum[ROW] = {0};
    for (int t = 0; t < TAPS; t += 2) for (int m = 0; m < ROW; m++) sum[m] += h[t] * x[t][m] + h[t + 1] * x[t + 1][m];
    for (int m = 0; m < ROW; m++) y[m * UP] = sum[m];
}
static void resample(void) {
    static double phase[UP][TAPS], row[DOWN + TAPS][ROW], y[ROW * UP];
    static int made;
    double cutoff = 20000 / 44100.0 + 0.5, b = beta(126), first[ROW * DOWN + TAPS] = {0};
    for (int p = 0; p < UP && !made; p++) {
        double dc = 0;
        for (int t = 0; t < TAPS; t++) {
            double x = t - (TAPS / 2 - 1) - (double) p / UP;
            dc += phase[p][t] = sinc(cutoff * x) * kaiser(x / (TAPS / 2.0), b);
        }
        for (int t = 0; t < TAPS; t++) phase[p][t] /= dc;
    }
    made = 1;
    copy(first + TAPS / 2 - 1, sound, ROW * DOWN + TAPS / 2 + 1); /* silence, then the beginning */
    for (long k = 0, at = 1 - TAPS / 2; k + ROW * UP <= frames; k += ROW * UP, at += ROW * DOWN) {
        const double *x = at < 0 ? first : sound + at;
        for (int m = 0; m < ROW; m++) for (int j = 0; j < DOWN + TAPS; j++) row[j][m] = x[m * DOWN + j];
        for (int p = 0; p < UP; p++) weigh((const double (*)[ROW]) row + p * DOWN / UP, phase[p * DOWN % UP], y + p);
        keep(0, k, y, ROW * UP);
    }
}

/* ---- Pitch: every fourth sample behind 33 taps, the difference function of 512 samples by three transforms (FFTW, planned by
 * measuring; where it is not installed there is no twin), its minima, the finer place of each by a windowed sinc, and the cheapest path. */

enum { HOP = 480, FACTOR = 4, REACH = 16, FRAME = 512, LONGEST = 220, SHORTEST = 10, WINDOW = FRAME - LONGEST, CHOICES = 6, PLACES = 16, SIDE = 8 };
typedef double complex[2];
static void *(*plan_forward)(int, double *, complex *, unsigned), *(*plan_back)(int, complex *, double *, unsigned);
static void (*forward)(void *, double *, complex *), (*back)(void *, complex *, double *);

static int transforms(void) {
    void *library = dlopen("libfftw3.so.3", RTLD_NOW);
    if (!library) return 0;
    plan_forward = (void *(*)(int, double *, complex *, unsigned)) dlsym(library, "fftw_plan_dft_r2c_1d");
    plan_back = (void *(*)(int, complex *, double *, unsigned)) dlsym(library, "fftw_plan_dft_c2r_1d");
    forward = (void (*)(void *, double *, complex *)) dlsym(library, "fftw_execute_dft_r2c");
    back = (void (*)(void *, complex *, double *)) dlsym(library, "fftw_execute_dft_c2r");
    return 1;
}

PART double log2_9(double x) {
    union { double d; int64_t b; } v = {x}, root = {sqrt(0.5)};
    v.b &= INT64_MAX;
    int64_t exponent = (v.b - root.b) >> 52;
    v.b -= exponent << 52;
    double u = v.d - 1, u2 = u * u, u4 = u2 * u2;
    double low = 1.4426950396260518 - u * 0.7213471268924491 + u2 * (0.4808983609834557 - u * 0.36071140544523295);
    double mid = 0.2885711546482534 - u * 0.23933020729974802 + u2 * (0.2043845608427551 - u * 0.19293725188757366);
    double high = 0.18807654169491259 - u * 0.10801235127107324;
    return exponent + u * (low + u4 * (mid + u4 * high));
}

APART void decimated(const double *restrict x, const double *restrict half, double *restrict y, int n) {
    for (int i = 0; i < n; i++) {
        const double *c = x + REACH + i * FACTOR;
        double even = half[0] * c[0], odd = 0;
        for (int k = 1; k < REACH; k += 2) {
            odd += half[k] * (c[-k] + c[k]);
            even += half[k + 1] * (c[-k - 1] + c[k + 1]);
        }
        y[i] = even + odd;
    }
}

APART void product(complex *restrict a, complex *restrict b) {
    for (int k = 0; k <= FRAME / 2; k++) {
        double re = a[k][0] * b[k][0] + a[k][1] * b[k][1];
        a[k][1] = a[k][1] * b[k][0] - a[k][0] * b[k][1];
        a[k][0] = re;
    }
}

static double between[PLACES][2 * SIDE];
PART double read_at(const double *raw, int place) {
    const double *r = raw + place / PLACES - SIDE + 1, *w = between[place % PLACES];
    double sum = 0;
    for (int k = 0; k < 2 * SIDE; k++) sum += w[k] * r[k];
    return sum;
}
static double finer(const double *raw, double octave) {
    int at = (int) floor(RATE / FACTOR / pow(2, octave) * PLACES + 0.5);
    if (at < (SIDE + 1) * PLACES || at > (LONGEST - SIDE - 1) * PLACES) return octave;
    double here = read_at(raw, at), below = read_at(raw, at - 1), above = read_at(raw, at + 1);
    for (int step = 0; step < PLACES / 2 && (below < here || above < here); step++) {
        if (below < above) { at--; above = here; here = below; below = read_at(raw, at - 1); }
        else { at++; below = here; here = above; above = read_at(raw, at + 1); }
    }
    double bend = below - 2 * here + above;
    return bend > 0 && below >= here && above >= here ? log2_9(RATE / FACTOR * PLACES / (at + (below - above) / (2 * bend))) : octave;
}

static void pitch(void) {
    double half[REACH + 1], sum = 0, *slow = zeros(frames / FACTOR + 2 * FRAME + CELL), first[3 * CELL] = {0};
    for (int k = 0; k <= REACH; k++) {
        double angle = M_PI * k / (REACH + 1), t = M_PI * k / (2.0 * FACTOR);
        half[k] = (0.42 + 0.5 * cos(angle) + 0.08 * cos(2 * angle)) * (k == 0 ? 1 : sin(t) / t);
        sum += k == 0 ? half[k] : 2 * half[k];
    }
    for (int k = 0; k <= REACH; k++) half[k] /= sum;
    for (int p = 0; p < PLACES; p++) for (int k = 0; k < 2 * SIDE; k++) {
        double t = k - SIDE + 1 - (double) p / PLACES, angle = M_PI * t;
        between[p][k] = t == 0 ? 1 : (0.5 + 0.5 * cos(angle / SIDE)) * sin(angle) / angle;
    }
    double *x = zeros(FRAME), *difference = zeros(LONGEST + 1), *raw = zeros(LONGEST + 1);
    complex *whole = (complex *) zeros(FRAME + 2), *part = (complex *) zeros(FRAME + 2);
    static void *there, *again;
    if (!there) { there = plan_forward(FRAME, x, whole, 0); again = plan_back(FRAME, whole, x, 0); }
    int centre = (int) floor((WINDOW + RATE / FACTOR / 200) / 2 + 0.5), count = frames / HOP;
    float (*octave)[CHOICES + 1] = calloc(count, sizeof *octave), (*fine)[CHOICES + 1] = calloc(count, sizeof *fine);
    unsigned char (*from)[CHOICES + 1] = calloc(count, sizeof *from);
    double cost[CHOICES + 1], next[CHOICES + 1], period[CHOICES], price[CHOICES], highest = log2_9(1200);
    for (int c = 0; c <= CHOICES; c++) cost[c] = c ? INFINITY : 0;

    /* The decimated sound, from its centre on; before it and after it there is silence. */
    copy(first + REACH, sound, 2 * CELL);
    decimated(first, half, slow + centre, CELL / FACTOR);
    long most = (frames - REACH - 1) / FACTOR;
    decimated(sound + CELL - REACH, half, slow + centre + CELL / FACTOR, most + 1 - CELL / FACTOR);
    double last[3 * REACH] = {0};
    copy(last, sound + (most + 1) * FACTOR - REACH, frames - ((most + 1) * FACTOR - REACH));
    decimated(last, half, slow + centre + most + 1, REACH / FACTOR);

    for (int f = 0; f < count; f++) {
        const double *at = slow + (long) floor((f + 0.5) * HOP / FACTOR + 0.5);
        copy(x, at, FRAME);
        forward(there, x, whole);
        memset(x + WINDOW, 0, LONGEST * sizeof *x);
        forward(there, x, part);
        product(whole, part);
        back(again, whole, x);
        double fixed = 0, sum = 0;
        for (int j = 0; j < WINDOW; j++) fixed += at[j] * at[j];
        double moved = fixed;
        difference[0] = 1;
        for (int lag = 1; lag <= LONGEST; lag++) {
            double in = at[lag + WINDOW - 1], out = at[lag - 1];
            moved += in * in - out * out;
            double d = fixed + moved - 2 * (x[lag] / FRAME);
            d = d > 0 ? d : 0;
            sum += d;
            raw[lag] = d;
            difference[lag] = sum > 0 ? d * lag / sum : 1;
        }
        int found = 0;
        for (int lag = SHORTEST; lag < LONGEST; lag++) {
            double a = difference[lag - 1], b = difference[lag], c = difference[lag + 1];
            if (b >= 0.5 || b >= a || b > c) continue;
            double shift = (a - c) / (2 * (a - 2 * b + c)), depth = b - (a - c) * shift / 4;
            double hz = log2_9(RATE / FACTOR / (lag + shift)), asked = (depth > 0 ? depth : 0) + 0.05 * (highest - hz);
            if (found == CHOICES && asked >= price[found - 1]) continue;
            int k = found < CHOICES ? found++ : found - 1;
            for (; k > 0 && asked < price[k - 1]; k--) { period[k] = period[k - 1]; price[k] = price[k - 1]; }
            period[k] = hz;
            price[k] = asked;
        }
        double least = INFINITY;
        for (int to = 0; to <= CHOICES; to++) {
            double own = to == 0 ? 0.3 : INFINITY, best = INFINITY;
            int source = 0;
            if (to > 0 && to <= found) { own = price[to - 1]; octave[f][to] = period[to - 1]; fine[f][to] = finer(raw, period[to - 1]); }
            for (int was = 0; was <= CHOICES && own < INFINITY; was++) {
                if (cost[was] == INFINITY) continue;
                double move = was == to ? 0 : 0.1;
                if (was && to) { move = fabs((double) (octave[f][to] - octave[f - 1][was])); move = move < 0.6 ? move : 0.6; }
                if (cost[was] + move < best) { best = cost[was] + move; source = was; }
            }
            next[to] = best + own;
            if (next[to] < least) least = next[to];
            from[f][to] = source;
        }
        for (int c = 0; c <= CHOICES; c++) cost[c] = next[c] - least;
    }
    int choice = 0;
    for (int c = 1; c <= CHOICES; c++) if (cost[c] < cost[choice]) choice = c;
    for (int f = count - 1; f >= 0; f--) {
        double hz[2] = {choice ? (float) pow(2, octave[f][choice]) : 0, choice ? (float) pow(2, fine[f][choice]) : 0};
        keep(0, f, hz, 1);
        keep(1, f, hz + 1, 1);
        choice = from[f][choice];
    }
    free(slow); free(x); free(difference); free(raw); free(whole); free(part); free(octave); free(fine); free(from);
}

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return t.tv_sec * 1e9 + t.tv_nsec;
}

int main(int count, char **word) {
    static const struct { const char *name; void (*run)(void); int channels; } kernels[] = {{"saturate", saturate, 1}, {"network", network, 2}, {"resample", resample, 1}, {"pitch", pitch, 2}};
    FILE *in = count > 2 ? fopen(word[2], "rb") : NULL;
    if (!in) return 2;
    fseek(in, 0, SEEK_END);
    frames = ftell(in) / (long) sizeof *sound;
    rewind(in);
    sound = zeros(frames);
    for (int c = 0; c < 2 && count > 3; c++) out[c] = zeros(frames);
    if (fread(sound, sizeof *sound, frames, in) != (size_t) frames) return 2;
    fclose(in);
    for (int k = 0; k < 4; k++) {
        if (strcmp(word[1], kernels[k].name)) continue;
        if (kernels[k].run == pitch && !transforms()) return puts("pitch NaN") < 0;
        kernels[k].run();
        double begun = now();
        kernels[k].run();
        printf("%s %.3f\n", kernels[k].name, (now() - begun) / frames);
        FILE *to = count > 3 ? fopen(word[3], "wb") : NULL;
        for (int c = 0; to && c < kernels[k].channels; c++) fwrite(out[c], sizeof *sound, frames, to);
        if (to) fclose(to);
        return 0;
    }
    return 2;
}
