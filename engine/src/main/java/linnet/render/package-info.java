/** Plan to samples. The only room that begins threads. */
package linnet.render;
