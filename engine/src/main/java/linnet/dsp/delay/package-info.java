/** Echoes: what was sung comes back later, once or many times. */
package linnet.dsp.delay;
