/** JSON schema, the page of steps and completion, all from the catalogue of steps. */
package linnet.publish;
