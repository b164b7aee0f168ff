/** What a song wants by ear, measured and made numbers of before it is planned: levels by loudness, and what gives way to a voice. */
package linnet.weigh;
