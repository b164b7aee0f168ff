/** A singing synthesiser whose every onset, pitch, breath, click and pop is known. */
package linnet.demo;
