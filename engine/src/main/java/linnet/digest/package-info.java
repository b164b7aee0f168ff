/** By what sounds, texts and files are known again. */
package linnet.digest;
