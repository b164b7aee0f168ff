/** The contract between a step and the engine. */
package linnet.step;
