/** Facts, marks and notes of a take, and meters: what is heard once for all who ask. */
package linnet.hear;
