/** WAV in and out, and dither. The only room that opens sound files. */
package linnet.audio;
