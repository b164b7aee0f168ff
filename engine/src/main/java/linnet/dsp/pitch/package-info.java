/** Pitch of a single voice: periodicity of one frame, its path through time, how a note of it is held, and how far it is to be moved. */
package linnet.dsp.pitch;
