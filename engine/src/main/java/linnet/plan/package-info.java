/** A chain and the header of a take become a plan: records only, every path aligned to the sample. */
package linnet.plan;
