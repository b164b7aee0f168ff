/** The maths, by family: double[] in, double[] out. It knows no YAML, no file and no thread, and reads like the paper it comes from. */
package linnet.dsp;
