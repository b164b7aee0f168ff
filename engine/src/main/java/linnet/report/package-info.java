/** Pictures of curves, and pages that a browser opens from disk. */
package linnet.report;
