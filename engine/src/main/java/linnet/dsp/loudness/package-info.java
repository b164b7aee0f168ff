/** Loudness and peaks as ITU-R BS.1770 defines them, measured while the sound streams past. */
package linnet.dsp.loudness;
