/** Pitch of a single voice: periodicity of one frame, and its path through time. */
package linnet.dsp.pitch;
