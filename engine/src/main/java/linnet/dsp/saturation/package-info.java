/** Waveshaping without the aliases that it would make at the plain rate. */
package linnet.dsp.saturation;
