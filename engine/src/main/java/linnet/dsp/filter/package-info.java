/** Filters: second-order sections and their designs, cascades, crossovers, and the state-variable filter whose settings may move. */
package linnet.dsp.filter;
