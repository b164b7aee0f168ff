/** Facts of a take: noise, voice, peak, lowest note, resonances, sibilance, sung frames. */
package linnet.hear;
