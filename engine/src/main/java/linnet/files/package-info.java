/** Files under way, which have no name of their own yet, how they take it, and what the system says where it refuses one. */
package linnet.files;
