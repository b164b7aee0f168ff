/** Artificial rooms from delay lines: parallel combs, a feedback delay network, and what a voice needs around them. */
package linnet.dsp.reverb;
