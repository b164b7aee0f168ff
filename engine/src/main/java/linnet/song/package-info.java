/** YAML to song: musical time, sections, parts, groups, returns, moves, throws and the prints wanted. */
package linnet.song;
