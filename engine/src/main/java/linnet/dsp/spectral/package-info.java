/** Spectra: the discrete Fourier transform and what is built on it. */
package linnet.dsp.spectral;
