/** How two sounds lie in time against each other. */
package linnet.dsp.align;
