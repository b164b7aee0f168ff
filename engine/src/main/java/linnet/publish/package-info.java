/** JSON schemas, the page of steps and completion, all from the catalogue of steps and from what the readers of songs declare. */
package linnet.publish;
