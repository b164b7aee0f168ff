/** YAML to chain. */
package linnet.chain;
