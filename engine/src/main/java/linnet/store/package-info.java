/** What renders keep from one run to the next, by content: safe to delete, safe under two runs at once, verified when it is read. */
package linnet.store;
