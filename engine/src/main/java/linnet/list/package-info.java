/** The lists that lie beside a take, as files: its marks and its notes. Read with places, written, and never written over a person's edits. */
package linnet.list;
