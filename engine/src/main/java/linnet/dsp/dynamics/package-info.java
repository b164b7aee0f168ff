/** What turns a voice up or down by its own level: compressors, gate, de-esser, limiter. */
package linnet.dsp.dynamics;
