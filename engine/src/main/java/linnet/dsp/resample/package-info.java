/** From one rate to another: windowed-sinc filters and what is built of them. */
package linnet.dsp.resample;
