/** One file for each step word, and the list of them. */
package linnet.step.builtin;
