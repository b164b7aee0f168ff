/** Pictures of curves. */
package linnet.report;
