package linnet.dsp.filter;

import linnet.dsp.Decibels;

/** What a linear filter does to a sine of one frequency: a complex factor. */
public record Response(double re, double im) {
    /** Of a filter that changes nothing. */
    public static final Response UNITY = new Response(1, 0);

    /** Of two filters in series. */
    public Response times(Response o) {
        return new Response(re * o.re - im * o.im, re * o.im + im * o.re);
    }

    /** Gain as a factor. */
    public double gain() {
        return StrictMath.hypot(re, im);
    }

    /** Gain in dB; negative infinity at a zero. */
    public double db() {
        return Decibels.ofPower(re * re + im * im);
    }

    /** Phase in radians, within ±π; negative where the output lags. */
    public double phase() {
        return StrictMath.atan2(im, re);
    }
}
