/** A first chain for a singer, drafted from the facts of a take: text for a person to read, change and keep. */
package linnet.draft;
