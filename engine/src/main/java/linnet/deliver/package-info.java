/** Prints on their way to their names, and the checks before. */
package linnet.deliver;
