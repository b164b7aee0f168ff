/** Plan to samples. The only room with threads. */
package linnet.render;
