/**
 * The maths, by family: double[] in, double[] out. It knows no YAML and no file, begins no thread, and reads like the paper it comes from. A sound may be read
 * by several threads; all else belongs to one at a time.
 */
package linnet.dsp;
