/** YAML as a tree of words that know where they stand. The only room that sees the YAML library. */
package linnet.yaml;
