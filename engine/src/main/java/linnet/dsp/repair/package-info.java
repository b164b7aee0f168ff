/** Repair of a take: what is found damaged is mended over its own length, and nothing else is touched. */
package linnet.dsp.repair;
