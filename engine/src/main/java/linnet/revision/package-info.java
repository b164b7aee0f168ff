/** What is different between two versions of a song or of a chain, in the words of a revision note. */
package linnet.revision;
