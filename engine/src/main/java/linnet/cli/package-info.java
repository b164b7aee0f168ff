/** The commands. The only room that prints or exits. */
package linnet.cli;
