/** One file for each step word, the list of them, and what several of them share. */
package linnet.step.builtin;
