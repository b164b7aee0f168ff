/** What a take is tidied by: its phrases and breaths, and a lead that others follow. Plans what is to be done and does it; knows no text and no file. */
package linnet.tidy;
