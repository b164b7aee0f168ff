/** YAML to chain. The only room, with song, that sees the YAML library. */
package linnet.chain;
