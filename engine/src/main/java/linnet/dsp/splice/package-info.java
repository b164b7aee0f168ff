/** Where one sound gives way to another: the law of the fade, how alike the two are there, and what is heard to change. */
package linnet.dsp.splice;
